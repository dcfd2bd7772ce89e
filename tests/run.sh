#!/usr/bin/env bash
# Passes every test: formatting, lints, documentation, all test programs, the window under Xvfb included. Installs the
# Debian packages it needs. Ends with "passed n, skipped m".
#
# Tests on real open airfield data need the folder that holds it: name it in TOELINE_OPEN_DATA. Without it they are skipped
# and say so. TOELINE_PYTHON can name a Python of your own in place of the one made here.
set -euo pipefail
cd "$(dirname "$0")/.."

packages=(gcc libc6-dev pkg-config libudev-dev libvulkan1 mesa-vulkan-drivers libx11-6 libx11-xcb1 libxcursor1 libxi6
    libxkbcommon-x11-0 xvfb xdotool x11-apps umockdev python3 python3-venv)
missing=()
for p in "${packages[@]}"; do
    dpkg-query -W -f='${Status}' "$p" 2>/dev/null | grep -q 'ok installed' || missing+=("$p")
done
if [ "${#missing[@]}" -gt 0 ]; then
    echo "installing: ${missing[*]}"
    as_root=()
    [ "$(id -u)" -eq 0 ] || as_root=(sudo)
    "${as_root[@]}" apt-get update -qq
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}"
fi

# Two checks of the physics run Python with what tests/external/python/requirements.txt pins. Made once, under target/.
wanted=tests/external/python/requirements.txt
if [ -z "${TOELINE_PYTHON:-}" ]; then
    made=$PWD/target/python
    if ! cmp -s "$wanted" "$made/installed.txt"; then
        echo "== Python for the checks of the physics"
        rm -rf "$made"
        if python3 -m venv "$made" && "$made/bin/pip" install --quiet --disable-pip-version-check -r "$wanted"; then
            cp "$wanted" "$made/installed.txt"
        else
            echo "pip could not install $wanted (no network?): the checks that need it are skipped"
        fi
    fi
    if [ -f "$made/installed.txt" ]; then
        export TOELINE_PYTHON=$made/bin/python
    fi
fi

# A cold build gains nothing from incremental files.
export CARGO_INCREMENTAL=0
# Snapshots are compared, never rewritten, here.
export INSTA_UPDATE=no

echo "== formatting"
cargo fmt --all --check
echo "== lints"
cargo clippy --workspace --all-targets --locked -- -D warnings
# The fuzz targets stand outside the workspace: their lock file must follow the engine's libraries.
cargo metadata --locked --format-version 1 --manifest-path tests/fuzz/Cargo.toml >/dev/null
echo "== documentation"
RUSTDOCFLAGS="-D warnings" cargo doc --no-deps --locked --quiet
echo "== tests"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
# --show-output lets the reason of every skipped check be seen.
cargo test --workspace --locked -- --show-output 2>&1 | tee "$log"

ran=$(sed -n 's/^test result: ok\. \([0-9]*\) passed.*/\1/p' "$log" | awk '{s += $1} END {print s + 0}')
skipped=$(grep -c '^skipped: ' "$log" || true)
echo
echo "passed $((ran - skipped)), skipped $skipped"
