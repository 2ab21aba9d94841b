"""Texts gone wrong: real texts with words, lines and characters changed, and texts of pure chance."""

import re
from collections.abc import Callable
from random import Random

JUNK = [
    "\0",
    "\x07",
    "\x1b[31m",
    "\t",
    "\u202e",
    "\u200b",
    "\ufeff",
    "\u00a0",
    "Ω",
    "µ",
    "→",
    "抵",
    "é",
    "e\u0301",
    "\U0001f3b8",
    "\ud800",
    "#",
    ">",
    ">>",
    "||",
    "|",
    "(",
    ")",
    ",",
    "=",
    "..",
    "+-",
    ".",
    "-",
    "~",
    "/",
    '"',
    "'",
    "\\",
    "%",
    "\r",
    "\u2028",
    "\x85",
]
WORDS = [
    "pedal",
    "about",
    "supply",
    "input",
    "output",
    "part",
    "knob",
    "trim",
    "switch",
    "section",
    "want",
    "accept",
    "because",
    "point",
    "at",
    "gnd",
    "GND",
    "0",
    "R1",
    "R2",
    "C3",
    "U1",
    "U1a.inv",
    "U2.6",
    "Q1.b",
    "D1",
    "SW1",
    "J1",
    "BT1",
    "F1",
    "TIME.2",
    "TIME",
    "1e999",
    "-1",
    "nan",
    "inf",
    "4k7",
    "10n",
    "1e-400",
    "99999999999999999999",
    "0.1.2",
    "4,7k",
    "9V",
    "TL072",
    "1N4148",
    "2N3904",
    "dual-opamp",
    "echo-chip",
    "npn",
    "regulator",
    "linear",
    "audio",
    "poles=2",
    "v+=VA",
    "1=gnd",
    "(electrolytic,",
    "16V)",
    "wall",
    "battery",
    "pickup",
    "+-",
    "<",
    "400ms..600ms",
    "0dB",
    "x" * 60,
    "é" * 10,
    "(" * 50,
    "9" * 400,
    "-",
    "_",
    "a.b.c",
]


def spoiled(texts: tuple[str, ...], seed: int) -> str:
    """One bad text; the same for the same seed."""
    chance = Random(seed)
    if chance.random() < 0.1:
        return of_pure_chance(chance)
    text = chance.choice(texts)
    for _ in range(chance.choice((1, 1, 1, 2, 3, 10))):
        text = chance.choice(SPOILERS)(text, chance)
    return text


def of_pure_chance(chance: Random) -> str:
    """Words and junk in any order, or deep nesting, or raw characters."""
    kind = chance.randrange(4)
    if kind == 0:
        return "".join(chr(chance.randrange(1, 0x500)) for _ in range(chance.randrange(400)))
    if kind == 1:
        return chance.choice("(>|=#") * chance.randrange(1, 3000)
    if kind == 2:
        depth = chance.randrange(1, 120)
        return f"IN > R1 1k {'(' * depth}x{')' * depth} > gnd"
    pieces = [chance.choice([*WORDS, *JUNK, " > ", "\n"]) for _ in range(chance.randrange(200))]
    return chance.choice((" ", "")).join(pieces)


def change_word(text: str, chance: Random) -> str:
    words = re.split(r"(\s+)", text)
    words[chance.randrange(len(words))] = chance.choice(WORDS)
    return "".join(words)


def drop_word(text: str, chance: Random) -> str:
    words = re.split(r"(\s+)", text)
    del words[chance.randrange(len(words))]
    return "".join(words)


def double_word(text: str, chance: Random) -> str:
    words = re.split(r"(\s+)", text)
    place = chance.randrange(len(words))
    words.insert(place, words[place] * chance.choice((1, 1, 30)))
    return "".join(words)


def swap_words(text: str, chance: Random) -> str:
    words = re.split(r"(\s+)", text)
    a, b = chance.randrange(len(words)), chance.randrange(len(words))
    words[a], words[b] = words[b], words[a]
    return "".join(words)


def drop_line(text: str, chance: Random) -> str:
    lines = text.split("\n")
    del lines[chance.randrange(len(lines))]
    return "\n".join(lines)


def double_line(text: str, chance: Random) -> str:
    lines = text.split("\n")
    lines.insert(chance.randrange(len(lines)), chance.choice(lines))
    return "\n".join(lines)


def swap_lines(text: str, chance: Random) -> str:
    lines = text.split("\n")
    chance.shuffle(lines)
    return "\n".join(lines)


def put_junk(text: str, chance: Random) -> str:
    place = chance.randrange(len(text) + 1)
    return text[:place] + chance.choice(JUNK) * chance.choice((1, 1, 2, 200)) + text[place:]


def drop_characters(text: str, chance: Random) -> str:
    place = chance.randrange(len(text) + 1)
    return text[:place] + text[place + chance.choice((1, 1, 3, 40)) :]


def change_bytes(text: str, chance: Random) -> str:
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    for _ in range(chance.randrange(1, 6)):
        if data:
            data[chance.randrange(len(data))] = chance.randrange(256)
    return data.decode("utf-8", "replace")


def cut_short(text: str, chance: Random) -> str:
    return text[: chance.randrange(len(text) + 1)]


def join_lines(text: str, chance: Random) -> str:
    return text.replace("\n", chance.choice((" ", " > ", "\r", "\r\n")), chance.randrange(1, 20))


def change_digits(text: str, chance: Random) -> str:
    huge = chance.choice(("0", "00000", "1e308", "9" * 30, "-5", "5.5.5"))
    return re.sub(r"\d+", lambda match: huge if chance.random() < 0.1 else match[0], text)


def repeat_all(text: str, chance: Random) -> str:
    return (text + "\n") * chance.randrange(2, 5)


SPOILERS: tuple[Callable[[str, Random], str], ...] = (
    change_word,
    drop_word,
    double_word,
    swap_words,
    drop_line,
    double_line,
    swap_lines,
    put_junk,
    drop_characters,
    change_bytes,
    cut_short,
    join_lines,
    change_digits,
    repeat_all,
)
