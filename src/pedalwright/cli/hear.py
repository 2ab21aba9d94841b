"""The verb `hear`: a sound played through the circuit, into a file."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from pedalwright.cli._hearing import chosen_goal, played, seconds_option, volts_option
from pedalwright.cli._shared import circuit_options, open_circuit, parse_wishes, write_result

if TYPE_CHECKING:
    from pedalwright.sound.wish import Heard

DONE, NOT_KNOWN = 0, 1


@click.command()
@circuit_options
@click.argument("sound", metavar="[SOUND]", default="chord:Am")
@click.option(
    "--wav", metavar="OUT", help="The file to write, .wav or .flac; otherwise a new name is chosen."
)
@click.option("--level", metavar="VOLTS", help="Peak at the input jack, such as 0.3V.")
@click.option(
    "--move",
    "moves",
    metavar="MOVEMENT",
    multiple=True,
    help='A knob turned or a switch flipped while it plays: "TIME 3 7 over 4s at 2s", "MODE long at 3s".',
)
@click.option(
    "--lfo",
    "swings",
    metavar="SWING",
    multiple=True,
    help='A knob swinging to and fro: "TIME 4 6 every 2s", "LEVEL 2 8 at 0.5Hz triangle".',
)
@click.option("--bypass", is_flag=True, help="First the sound with the pedal bypassed, then engaged.")
@click.option("--against", metavar="FILE", help="Another circuit to compare with.")
@click.option(
    "--against-set",
    "against_wishes",
    metavar="KNOB=POSITION",
    multiple=True,
    help="Compare with this position; with --against, the other circuit's.",
)
@click.option(
    "--two-files", is_flag=True, help="What is compared in files of its own, not one after the other."
)
@click.option("--seconds", metavar="TIME", help="How much of the sound to play, such as 5s.")
@click.option(
    "--tail", metavar="TIME", help="How long to let it ring; until it has died or 10 s unless said."
)
@click.option(
    "--oversample",
    type=click.Choice(["1", "2", "4", "8"]),
    help="Steps to compute for each of the 48000 frames a second; chosen by the circuit unless said.",
)
@click.option("--power-on", is_flag=True, help="Begin with empty capacitors, as the supply comes on.")
@click.option("--mono", is_flag=True, help="Mix the channels of the sound into one.")
@click.option(
    "--measure", is_flag=True, help="Measure noise, distortion, harmonics, response and repeats too."
)
@click.option(
    "--picture", metavar="OUT", help="Outline, spectrum and echo map, .svg or .html (with the sound)."
)
def command(
    file: str,
    wishes: tuple[str, ...],
    as_json: bool,
    sound: str,
    wav: str | None,
    level: str | None,
    moves: tuple[str, ...],
    swings: tuple[str, ...],
    bypass: bool,
    against: str | None,
    against_wishes: tuple[str, ...],
    two_files: bool,
    seconds: str | None,
    tail: str | None,
    oversample: str | None,
    power_on: bool,
    mono: bool,
    measure: bool,
    picture: str | None,
) -> int:
    """Play a SOUND through the circuit into a file, to be heard before anything is soldered.

    SOUND is a sound file, or one of our own: pluck:E2, chord:Am, click, noise, sweep, tone:440Hz. A chord is
    played unless one is named. Turn the volume down before you listen.

    The exit status is 1 when the circuit could not be played with certainty.

    \b
    pedalwright hear lantern.pedal
    pedalwright hear lantern.pedal pluck:E2 --set TIME=8 --wav lead.wav
    pedalwright hear lantern.pedal riff.flac --move "TIME 3 7 over 4s" --bypass --picture riff.html
    pedalwright hear lantern.pedal click --against-set REPEATS=8 --measure
    """
    from pedalwright.sound.wish import Wish

    _check_picture(picture)
    wish = Wish(
        sound=sound,
        level_v=volts_option("--level", level),
        moves=moves,
        swings=swings,
        seconds=seconds_option("--seconds", seconds),
        tail_s=seconds_option("--tail", tail),
        oversampling=int(oversample) if oversample else None,
        power_on=power_on,
        mono=mono,
        with_bypass=bypass,
        two_files=two_files,
        measure=measure,
        picture=picture is not None,
    )
    analysis = open_circuit(file, wishes, as_json=as_json)
    other = open_circuit(against, against_wishes, as_json=as_json) if against else None
    settings = None if against else parse_wishes(against_wishes, "--against-set")
    goal = chosen_goal(wav, file, sound, two_files=two_files)
    inputs = [file, *([against] if against else [])]
    heard = played(analysis, goal, wish, against=other, other_settings=settings, spare=inputs)
    if heard is None:
        return NOT_KNOWN
    if picture is not None:
        _write_picture(heard, picture, file)
    _tell(heard, as_json=as_json)
    return DONE


def _tell(heard: "Heard", *, as_json: bool) -> None:
    if as_json:
        from pedalwright.report.sound_json import sound_json

        click.echo(sound_json(heard), nl=False)
        return
    from pedalwright.report.sound_document import sound_document
    from pedalwright.report.terminal_page import console_for, print_page

    print_page(sound_document(heard), console_for())


def _check_picture(picture: str | None) -> None:
    if picture is not None and Path(picture).suffix.lower() not in (".svg", ".html"):
        raise click.UsageError(
            f"--picture takes a name that ends in .svg or .html, not '{picture[:60]}'.",
            click.get_current_context(),
        )


def _write_picture(heard: "Heard", picture: str, file: str) -> None:
    if heard.looks is None:
        return
    if Path(picture).suffix.lower() == ".svg":
        from pedalwright.report.sound_pictures import picture_svg

        write_result(picture, picture_svg(heard.looks, heard.repeats), source=file)
    else:
        from pedalwright.report.sound_page import sound_page

        write_result(picture, sound_page(heard), source=file)
