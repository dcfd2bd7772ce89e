#!/usr/bin/env bash
# Fuzzes one target with coverage feedback on the stable toolchain: tests/fuzz/run.sh reader|noder|xml|json|pbf|aixm|notice [seconds] [more libFuzzer options].
# What is new goes to tests/fuzz/target/found; a failing input is written beside it and its path is printed.
set -euo pipefail
cd "$(dirname "$0")"
target=$1
seconds=${2:-600}
shift
[ $# -gt 0 ] && shift
# What cargo-fuzz passes, less the sanitizer, which stable lacks and code without `unsafe` needs little.
export RUSTFLAGS="--cfg fuzzing -Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
-Cllvm-args=-sanitizer-coverage-trace-compares"
triple=$(rustc -vV | sed -n 's/^host: //p')
out=${CARGO_TARGET_DIR:-$PWD/target}
# --target keeps the flags from the build scripts.
cargo build --release --locked --quiet --target "$triple" --bin "$target"
found=$out/found/$target
mkdir -p "$found"
options=(-max_total_time="$seconds" -timeout=20 -rss_limit_mb=3000 -artifact_prefix="$out/found/$target-")
[ "$target" = reader ] && options+=(-dict=geojson.dict -max_len=8192)
[ "$target" = xml ] && options+=(-dict=xml.dict -max_len=8192)
[ "$target" = aixm ] && options+=(-dict=aixm.dict -max_len=16384)
[ "$target" = notice ] && options+=(-dict=notice.dict -max_len=16384)
[ "$target" = json ] && options+=(-dict=json.dict -max_len=8192)
[ "$target" = pbf ] && options+=(-max_len=4096)
[ "$target" = noder ] && options+=(-max_len=1024)
exec "$out/$triple/release/$target" "${options[@]}" "$@" "$found" "corpus/$target"
