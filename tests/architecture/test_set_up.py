"""Setting up finds a Python by itself, or says in one sentence what to install."""

import subprocess
import sys
from pathlib import Path

import pytest

OLD = "#!/bin/sh\nexit 1\n"
USABLE = f'#!/bin/sh\nexec "{sys.executable}" "$@"\n'
#: A Python as Debian ships it before its venv package is installed.
BARE = f'#!/bin/sh\ncase "$2" in *ensurepip*) exit 1 ;; esac\nexec "{sys.executable}" "$@"\n'
NOT_ROOT = "#!/bin/sh\necho 1000\n"


@pytest.fixture
def find(tmp_path: Path, root: Path):
    """Run the search with only the given programs on the PATH."""

    def run(**programs: str) -> subprocess.CompletedProcess[str]:
        for name, text in {"id": NOT_ROOT, **programs}.items():
            program = tmp_path / name.replace("apt_get", "apt-get").replace("_", ".")
            program.write_text(text)
            program.chmod(0o755)
        return subprocess.run(
            ["/bin/sh", root / "scripts" / "find-python"],
            env={"PATH": str(tmp_path)},
            capture_output=True,
            text=True,
            check=False,
        )

    return run


def test_the_first_usable_python_is_taken(find, tmp_path: Path):
    done = find(python3_11=OLD, python3_12=USABLE, python3=USABLE)
    assert done.stdout.strip() == str(tmp_path / "python3.12")


def test_none_is_said_in_one_sentence(find):
    done = find(python3=OLD)
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "3.11" in done.stderr


def test_a_python_without_venv_names_the_system_package(find):
    done = find(python3_12=BARE)
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    version = f"python{sys.version_info.major}.{sys.version_info.minor}"
    assert f"{version}-venv" in done.stderr


#: A Python as Debian ships it, complete once its venv package is installed.
MENDED = (
    '#!/bin/sh\ncase "$2" in *ensurepip*) [ -e "${0%/*}/installed" ] || exit 1 ;; esac\n'
    f'exec "{sys.executable}" "$@"\n'
)
ROOT_USER = "#!/bin/sh\necho 0\n"
APT_GET = '#!/bin/sh\necho "$*" >>"${0%/*}/asked"\n[ "$1" = update ] || : >"${0%/*}/installed"\n'


def test_root_is_given_the_missing_package_and_goes_on(find, tmp_path: Path):
    done = find(python3_12=MENDED, id=ROOT_USER, apt_get=APT_GET)
    version = f"python{sys.version_info.major}.{sys.version_info.minor}"
    asked = (tmp_path / "asked").read_text().splitlines()
    assert asked == ["update -qq", f"install -y -qq {version}-venv"]
    assert done.returncode == 0
    assert done.stdout.strip() == str(tmp_path / "python3.12")
    assert done.stderr.strip() == f"leeward: installing {version}-venv with apt-get"


def test_a_package_that_cannot_be_installed_is_named(find):
    done = find(python3_12=MENDED, id=ROOT_USER, apt_get="#!/bin/sh\nexit 100\n")
    assert done.returncode == 1
    assert "install the system package" in done.stderr
    assert done.stdout == ""


def test_who_is_not_root_installs_nothing(find, tmp_path: Path):
    find(python3_12=MENDED, apt_get=APT_GET)
    assert not (tmp_path / "asked").exists()


def test_a_complete_python_is_preferred_to_a_bare_one(find, tmp_path: Path):
    done = find(python3_11=BARE, python3_13=USABLE)
    assert done.stdout.strip() == str(tmp_path / "python3.13")
