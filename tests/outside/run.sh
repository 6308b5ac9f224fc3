#!/usr/bin/env bash
# Runs a built program on the sample fields and the real field, and checks each result by place.
#
#     tests/outside/run.sh target/checked/limewright
#
# Needs Python 3.11 or newer with venv, npm, and a network the first time; builds nothing.
set -euo pipefail

if [ $# -ne 1 ] || [ ! -x "$1" ]; then
    echo "usage: tests/outside/run.sh PROGRAM" >&2
    exit 2
fi
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
cd "$(dirname "$0")/../.."

venv=target/outside-venv
stamp=$venv/installed.txt
if ! cmp -s tests/outside/requirements.txt "$stamp"; then
    python3 -m venv "$venv"
    "$venv/bin/pip" install --quiet --disable-pip-version-check -r tests/outside/requirements.txt
    cp tests/outside/requirements.txt "$stamp"
fi
python=$venv/bin/python

# The npm package isoxml is another reader of task data; .ci/run installs npm where it is missing.
node=target/outside-node
if ! command -v npm >/dev/null || ! command -v node >/dev/null; then
    echo "!!!! npm or node is not installed: task data are NOT tried with the npm package isoxml" >&2
    node=""
elif ! cmp -s tests/outside/iso/package.json "$node/installed.json"; then
    mkdir -p "$node"
    cp tests/outside/iso/package.json "$node/package.json"
    (cd "$node" && npm install --silent --no-audit --no-fund --no-package-lock)
    cp tests/outside/iso/package.json "$node/installed.json"
fi

results=$(mktemp -d)
logs=$(mktemp -d)
trap 'rm -rf "$results" "$logs"' EXIT

# note NAME COMMAND...: runs the command and prints its last line; the whole of it where it fails.
note() {
    local name=$1 log start=$SECONDS
    log=$(mktemp -p "$logs")
    shift
    if "$@" >"$log" 2>&1; then
        echo "ok   $name: $(tail -n 1 "$log") ($((SECONDS - start)) s)"
    else
        # In one piece, because others write at the same time.
        printf '%s\n' "FAIL $name
$(sed 's/^/     /' "$log")"
        touch "$logs/failed"
    fi
}

# beside COMMAND...: runs the command while others go on, as many at a time as there are processors.
lanes=$(nproc 2>/dev/null || echo 2)
beside() {
    while [ "$(jobs -rp | wc -l)" -ge "$lanes" ]; do wait -n || true; done
    "$@" &
}

run_and_check() {
    local name=$1 job=$2
    note "$name: prescribe" "$program" prescribe "$job" --out "$results/$name"
    note "$name: by place" "$python" tests/outside/check_by_place.py "$job" "$results/$name"
}

# What others go on from.
beside run_and_check heron_flat sample_fields/heron_flat/job.toml
beside run_and_check linden_bank sample_fields/linden_bank/job.toml
beside note "jobs of the other methods" "$python" tests/outside/method_jobs.py "$results/jobs"
wait

# The longest first.
beside note "heron_flat: planted faults" "$python" tests/outside/plant_faults.py \
    sample_fields/heron_flat/job.toml "$results/heron_flat"
beside run_and_check real_field tests/data/share_alike/real_field/job.toml
for method in sikora-oregon exchangeable-acidity-pennsylvania mehlich-north-carolina \
    ph-aluminium-vermont ph-texture texture-victoria weakly-buffered titration \
    base-saturation-brazil-paraiba aluminium-saturation; do
    beside run_and_check "$method" "$results/jobs/$method/job.toml"
done
beside note "heron_flat: kept out and overridden" "$python" tests/outside/check_regions.py \
    "$program" "$results/regions"
for name in heron_flat linden_bank; do
    beside note "$name: interval drawn again" "$python" tests/outside/check_interval.py \
        "sample_fields/$name/job.toml" "$results/$name"
done
beside note "heron_flat: the spreader" "$python" tests/outside/check_machine.py \
    "$program" "$results/machine"
for name in heron_flat linden_bank; do
    beside note "$name: areas of one rate" "$python" tests/outside/check_areas.py \
        "$program" "sample_fields/$name/job.toml" "$results/areas_$name"
done
beside note "many fields: compared" "$python" tests/outside/check_fields.py "$program" "$results/fields"
beside note "heron_flat: in layers" "$python" tests/outside/check_layers.py "$program" "$results/layers"
beside note "heron_flat: a field meter" "$python" tests/outside/check_meter.py "$program" "$results/meter"
beside note "materials: molar masses and schemes" "$python" tests/outside/check_materials.py \
    "$program" "$results/materials"
beside note "heron_flat: materials" "$python" tests/outside/check_choosing.py \
    "$program" "$results/choosing"
beside note "heron_flat: methods side by side" sh -c '"$1" methods --job "$2" --side-by-side --json >"$3"' \
    sh "$program" sample_fields/heron_flat/job.toml "$results/heron_flat/advice.json"
beside note "map files by GDAL" "$python" tests/outside/read_with_ogr.py "$program" "$results/map_files"
beside note "files for controllers by GDAL" "$python" tests/outside/check_exports.py \
    "$program" "$results/exports"
beside note "ISO 11783-10 task data" "$python" tests/outside/check_iso.py \
    "$program" "$results/iso" ${node:+"$node"}
beside note "the driver's page, printed" "$python" tests/outside/check_driver_page.py \
    "$program" "$results/driver_page"
# What `cargo test --profile checked --test job orders` made and worked out.
if [ -d target/tmp/order_cases ]; then
    beside note "orders and suppliers of made fields" "$python" tests/outside/check_orders.py \
        target/tmp/order_cases
else
    echo "FAIL orders: run \`cargo test --profile checked --test job orders\` first, which makes the cases" >&2
    touch "$logs/failed"
fi
beside note "areas of all map files" "$python" tests/outside/expected_areas.py
beside note "plans where there is not enough" "$python" tests/outside/check_plans.py \
    "$program" "$results/plans"
wait

note "schemas" "$python" tests/outside/check_schemas.py "$program" "$results"

[ ! -e "$logs/failed" ]
