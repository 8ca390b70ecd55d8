"""Write simulated logs of a plan: one as planned, and one for each thing that can go wrong.

    python -m examples.simulate_logs PLAN --out FOLDER [--days 7] [--seed 1] [--only NAME]

Nobody lay on the surface of these logs. Their columns are those of
`examples/maps/one-angle.yaml`, which says so wherever anything of them is shown.
"""

import argparse
import sys
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zlib import crc32
from zoneinfo import ZoneInfo

import numpy as np

from examples.simulated.faults import (
    ExchangedSides,
    Fault,
    FrozenSensor,
    Offset,
    Pause,
    PowerLoss,
    SilentSensor,
    StoppedForCare,
)
from examples.simulated.log import Unit, simulate
from examples.simulated.plan import stays_of_plan
from examples.simulated.sensor import Sensor, csv_lines
from leeward.terms.units import radians_from_deg

HOUR, DAY = 3600.0, 86400.0
_NOISY = Sensor(jitter=0.4, noise=radians_from_deg(2.0), lost=0.05)
_DRIFTING = Sensor(drift=radians_from_deg(0.5) / DAY)

#: Each log: what goes wrong on the second day and later, and the sensor it is read by.
LOGS: dict[str, tuple[tuple[Fault, ...], Sensor]] = {
    "as-planned": ((), Sensor()),
    "noisy": ((), _NOISY),
    "drifting": ((), _DRIFTING),
    "silent-sensor": ((SilentSensor(1.2 * DAY, 7 * HOUR),), Sensor()),
    "empty-lines": ((SilentSensor(1.2 * DAY, 3 * HOUR, writes_empty_lines=True),), Sensor()),
    "frozen-sensor": ((FrozenSensor(1.2 * DAY, 9 * HOUR),), Sensor()),
    "paused": ((Pause(1.3 * DAY, 5 * HOUR),), Sensor()),
    "stopped-for-care": ((StoppedForCare(1.1 * DAY, 1.1 * DAY + 8 * HOUR),), Sensor()),
    "never-restarted": ((StoppedForCare(1.1 * DAY),), Sensor()),
    "power-loss": ((PowerLoss(1.4 * DAY, 2 * HOUR),), Sensor()),
    "power-loss-goes-on": ((PowerLoss(1.4 * DAY, 2 * HOUR, goes_on=True),), Sensor()),
    "sides-exchanged": ((ExchangedSides(0.0),), Sensor()),
    "hard-week": (
        (
            SilentSensor(1.2 * DAY, 7 * HOUR),
            Pause(2.3 * DAY, 5 * HOUR),
            ExchangedSides(4.0 * DAY),
            StoppedForCare(5.4 * DAY),
        ),
        Sensor(),
    ),
    "offset": ((Offset(0.0, radians_from_deg(4.0)),), Sensor()),
}


def write_logs(plan: Path, folder: Path, settings: argparse.Namespace) -> list[Path]:
    """Write the logs of one plan.

    Parameters
    ----------
    plan : Path
        The plan file.
    folder : Path
        Where the logs go; made if it is not there.
    settings : argparse.Namespace
        As the command line gives them.

    Returns
    -------
    list of Path
        The logs written.
    """
    begins, stays = stays_of_plan(plan.read_text(encoding="utf-8"), settings.days, settings.choice)
    zone = ZoneInfo(settings.zone)
    midnight = datetime.combine(settings.first_day, time(), tzinfo=zone)
    start = (midnight.astimezone(UTC) + timedelta(seconds=begins)).astimezone(zone)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name in settings.only or LOGS:
        faults, sensor = LOGS[name]
        # Each log has its own chance, so that one more log leaves the others as they were.
        generator = np.random.default_rng([settings.seed, crc32(name.encode())])
        readings = simulate(stays, generator, unit=Unit(sensor=sensor), faults=faults)
        path = folder / f"simulated-{name}.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            file.writelines(csv_lines(readings, start))
        written.append(path)
    return written


def main(arguments: list[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : list of str or None
        Arguments; by default those of the process.

    Returns
    -------
    int
        Exit code. [-]
    """
    parser = argparse.ArgumentParser(description="Write simulated logs of a plan.")
    parser.add_argument("plan", type=Path, help="plan file (JSON)")
    parser.add_argument("--out", type=Path, required=True, help="folder for the logs")
    parser.add_argument("--choice", help="which choice of the plan; by default the first")
    parser.add_argument("--days", type=int, default=7, choices=range(1, 32), metavar="1-31")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--first-day", type=date.fromisoformat, default=date(2026, 11, 9))
    parser.add_argument("--zone", default="Europe/London", help="IANA name of the zone")
    parser.add_argument("--only", choices=LOGS, action="append", help="one log; may be repeated")
    settings = parser.parse_args(arguments)
    try:
        written = write_logs(settings.plan, settings.out, settings)
    except (OSError, ValueError, KeyError) as error:
        sys.stderr.write(f"no logs written: {error}\n")
        return 1
    for path in written:
        sys.stdout.write(f"{path} (simulated)\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
