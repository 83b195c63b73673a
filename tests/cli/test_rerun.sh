#!/bin/sh
# shellcheck disable=SC1091,SC2034,SC2154 # the words come from words.sh
# Checks wintergrub rerun: it reproduces a result from its own provenance, and reports differences.
. "$(dirname "$0")/words.sh"

# edit FILE PYTHON: changes a result through h5py, with `f` as the file, and updates the checksum in its last line.
edit() {
  "${PYTHON:-python3}" -B -c "import sys, h5py; f = h5py.File(sys.argv[1], 'r+'); $2; f.close()" "$1" || return
  sealed=$(sha256sum <"$1")
  echo "wintergrub sha256 ${sealed%% *}" >>"$1"
}

# ---- the same ----

# All random processes, and a weather record that no longer exists.
cp -r "$SRC/scenarios" farm
for name in smallest hoop-house-two-bins seattle-record; do
  wintergrub run "farm/$name.yaml" --replicates 7 --seed 99 --quiet
  ends 0
done
mv farm "$shelf/away"
for name in smallest hoop-house-two-bins seattle-record; do
  cp "$name.h5" "$shelf/kept.h5"
  for threads in 1 3; do
    wintergrub rerun "$name.h5" --threads $threads
    ends 0
    tells_nothing
    fits "$out" 2
    prints 'the same'
    prints "$name.h5"
    grep -qE '\b7\b' "$out" || fault "not how many replicates"
  done
  cmp -s "$name.h5" "$shelf/kept.h5" || fault "rerun has changed the file"
done
chmod 444 smallest.h5
wintergrub rerun smallest.h5
ends 0
chmod 644 smallest.h5
holds hoop-house-two-bins.h5 seattle-record.h5 smallest.h5

# ---- different ----

cp smallest.h5 changed.h5
edit changed.h5 "f['count'][3, 40, 1] += 1"
wintergrub rerun changed.h5
ends 1
tells_nothing
fits "$out" 3
prints 'different'
prints 'count'

cp smallest.h5 changed.h5
edit changed.h5 "f['total_crawl_off_mass'][6] *= 1 + 2**-52"
wintergrub rerun changed.h5
ends 1
prints 'total_crawl_off_mass'

# A result of another version: a warning, and a comparison.
cp smallest.h5 changed.h5
edit changed.h5 "f['provenance'].attrs.modify('wintergrub_version', '0.0.9')"
wintergrub rerun changed.h5
ends 0
tells '0.0.9'
tells_lines 1
prints 'the same'

# ---- other files ----

printf 'no result' >text.h5
head -c 20000 smallest.h5 >torn.h5
: >empty.h5
"${PYTHON:-python3}" -B -c "import h5py; h5py.File('foreign.h5', 'w')['count'] = 3"
"${PYTHON:-python3}" -B -c "
import shutil, h5py
shutil.copy('smallest.h5', 'touched.h5')
h5py.File('touched.h5', 'r+').attrs['remark'] = 'by hand'"
for file in text torn empty foreign touched; do
  wintergrub rerun $file.h5
  ends 3
  prints_nothing
  tells_lines 1
  tells $file.h5
done
cp smallest.h5 broken.h5
edit broken.h5 "f['provenance/scenario'][()] = 'period: {from: yesterday}'" 2>/dev/null || {
  said='editing the scenario of a result'
  fault "the record has no scenario that can be edited"
}
wintergrub rerun broken.h5
[ "$status" -eq 3 ] || fault "ended with $status, not 3"
prints_nothing
rm -- *.h5
holds

finish
