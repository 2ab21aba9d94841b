"""What supply and temperature do to the delay, as `repeats` tells it, against the published measurements."""

import pytest

from pedalwright import circuits
from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.echo_records import EchoAnswers
from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.report.markdown_page import markdown_page
from pedalwright.report.repeats_document import repeats_document
from pedalwright.report.repeats_json import repeats_data
from tests.echo.circuits import APPLICATION_ECHO


def answered(text: str) -> EchoAnswers:
    found = echo_answers(Analysis(read_text(text), text), 3, 10)
    assert found is not None
    return found


def at_supply(volts: str) -> EchoAnswers:
    return answered(APPLICATION_ECHO.replace("supply V5 5V wall", f"supply V5 {volts} wall"))


# Measurements on a published tempo module, 2025, calibrated at 5.00 V and 24 deg C, delays of 50 to 600 ms:
# 7 ms at 4.6 V, 3 ms at 4.8 V, 4 ms at 5.2 V, 8 ms at 5.4 V; 2 ms at 10 deg C, 3 ms at 40 deg C. Between
# them straight: 5.1 V is half way from 5.0 to 5.2 V; 5.5 V goes on as from 5.2 to 5.4 V.
@pytest.mark.parametrize(
    ("volts", "shift_s"),
    [("4.6V", 7e-3), ("4.8V", 3e-3), ("5.1V", 2e-3), ("5.4V", 8e-3), ("5.5V", 10e-3)],
)
def test_the_shift_at_the_supply_is_the_measured_one(volts: str, shift_s: float) -> None:
    found = at_supply(volts)
    (chip,) = found.chips
    assert chip.state.supply_v == pytest.approx(float(volts[:-1]), abs=1e-6)
    assert chip.shifts.at_supply_s == pytest.approx(shift_s, abs=1e-6)
    assert chip.shifts.supply_measured == (volts != "5.5V")
    page = markdown_page(repeats_document(found))
    assert f"delay shift at {volts[:-1]}0 V" in page
    assert ("carried on straight" in page) == (volts == "5.5V")


def test_at_5_volts_only_the_ranges_are_told() -> None:
    found = at_supply("5V")
    assert found.chips[0].shifts.at_supply_s is None
    page = markdown_page(repeats_document(found))
    assert "delay shift at" not in page
    assert "up to ±7 ms at 4.6 V, up to ±8 ms at 5.4 V (measurement" in page.replace("7.00", "7")
    assert "at 10 °C" in page and "at 40 °C" in page


def test_json_tells_the_same() -> None:
    shifts = repeats_data(answered(circuits.text("lantern-echo")))["chips"][0]["shifts"]
    assert [(one["supply_v"], one["shift_s"]) for one in shifts["over_supply"]] == [(4.6, 7e-3), (5.4, 8e-3)]
    told = [(one["temperature_c"], one["shift_s"]) for one in shifts["over_temperature"]]
    assert told == [(10.0, 2e-3), (40.0, 3e-3)]
    assert shifts["mark"] == "measurement"
