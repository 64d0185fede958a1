#!/usr/bin/env bash
# The service's unit as systemd itself judges it: no complaint, exposure at most 1.2.
#   unit_test.sh SOURCE UNIT PROGRAM          ends with 4, having said why, where systemd is not here to judge
set -euo pipefail
source=$1 unit=$2 program=$3
for judge in systemd-analyze systemd-sysusers systemd-tmpfiles; do
  command -v "$judge" >/dev/null || { echo "skipped: no $judge here"; exit 4; }
done
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
status=0
complain() { echo "FAILED: $*"; status=1; }

# As installed, but for the program's place and a man page that may not be.
for each in "$unit" "$source/systemd/lullwatt.socket"; do
  sed -e "s|^ExecStart=.*|ExecStart=$program|" -e '/^Documentation=/d' "$each" >"$folder/$(basename "$each")"
done
said=$(systemd-analyze verify "$folder/lullwatt.service" "$folder/lullwatt.socket" 2>&1) || complain "verify ended with $?"
[ -z "$said" ] || complain "verify says: $said"

# The threshold is in tenths. Twelve passes, and a unit without its sandbox must not.
systemd-analyze security --offline=yes --threshold=12 "$folder/lullwatt.service" >"$folder/said" ||
  complain "exposed: $(cat "$folder/said")"
tail -n 1 "$folder/said"
mkdir "$folder/bare"
sed -e '/^Protect/d' "$folder/lullwatt.service" >"$folder/bare/lullwatt.service"
! systemd-analyze security --offline=yes --threshold=12 "$folder/bare/lullwatt.service" >/dev/null ||
  complain "a unit without its Protect lines is judged as well as the whole"

# By systemd's defaults the socket that was handed over would go with the service, and nobody but it read the ledger.
for needed in RuntimeDirectoryPreserve=yes UMask=0027 StateDirectoryMode=0750; do
  grep -qx "$needed" "$folder/lullwatt.service" || complain "the unit lacks $needed"
done

mkdir -p "$folder/root/etc"
systemd-sysusers --root="$folder/root" "$source/systemd/lullwatt.sysusers" || complain "sysusers refuses its file"
grep -q '^lullwatt:' "$folder/root/etc/passwd" || complain "sysusers made no user lullwatt"
exit $status
