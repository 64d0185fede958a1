#!/bin/sh
# Loads zones from folders of our own in place of the system's, each seen only by the process that loads: fat files,
# slim ones, damaged, unreadable and missing ones. private_zones.sh PROBE. Exit 77 where this cannot be tried.
set -u
PATH=$PATH:/usr/sbin:/sbin
probe=$1
system=/usr/share/zoneinfo

skip() {
    echo "skipped: $1"
    exit 77
}
[ "$(id -u)" = 0 ] || skip "a private mount needs root"
for tool in zic unshare mount setpriv; do
    command -v $tool > /dev/null || skip "there is no $tool"
done
[ -r $system/tzdata.zi ] || skip "there is no source of zone data at $system/tzdata.zi"

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
chmod 755 "$work"
cp "$probe" "$work/probe"
chmod 755 "$work/probe"
unshare -m mount --bind "$work" $system 2> /dev/null || skip "a private mount is not permitted"

folder() { # NAME FORM: a folder of all zones, fat or slim, and one more that only we have
    zic -b "$2" -d "$work/$1" $system/tzdata.zi || exit 1
    printf 'Zone Test/Ours 3:21 - OURS\n' | zic -b "$2" -d "$work/$1" - || exit 1
    cp $system/tzdata.zi "$work/$1/"
}

tried=0
failed=0
expect() { # WHAT STATUS PATTERN FOLDER ZONE [MOUNT POINT [USER]]
    tried=$((tried + 1))
    said=$(unshare -m sh -c 'mount --bind "$1" "$2" && exec setpriv --reuid="$3" "$4" "$5"' sh \
        "$work/$4" "${6:-$system}" "${7:-0}" "$work/probe" "$5" 2>&1)
    status=$?
    if [ $status -eq "$2" ] && echo "$said" | grep -q -- "$3"; then
        echo "ok: $1"
    else
        echo "FAILED: $1: exit $status instead of $2, or no '$3' in:"
        echo "$said"
        failed=$((failed + 1))
    fi
}

folder fat fat
folder slim slim

expect "fat files are read" 0 "loaded: -14400 s in July, -18000 s in November" fat America/Toronto
expect "the private folder is the one that is read" 0 "loaded: 12060 s in July" fat Test/Ours
expect "slim files are refused" 1 \
    "zone 'America/Toronto': would be misread.*EDT (UTC-04:00).*EST (UTC-05:00).*package tzdata.*zic -b fat" \
    slim America/Toronto
expect "slim files are refused in the south" 1 "would be misread" slim Australia/Sydney
expect "slim files are refused for half an hour" 1 "would be misread" slim Australia/Lord_Howe
expect "a slim file without a changing rule misleads nobody" 0 "loaded: -21600 s in July, -21600" \
    slim America/Regina
expect "the release is read from the folder" 0 "release: $(sed -n '1s/# version //p' $system/tzdata.zi)" \
    fat America/Toronto

ours=$work/fat/America
head -c 1000 "$ours/Toronto" > "$ours/Cut"
expect "a file cut short is refused" 1 "its file is cut short or damaged.*package tzdata" fat America/Cut

: > "$ours/Empty"
expect "an empty file is refused" 1 "its file is no zone file" fat America/Empty

rule=$(tail -n 1 "$work/slim/America/Toronto" | wc -c)
{ head -c -"$rule" "$work/slim/America/Toronto"; printf '\n'; } > "$ours/Ruleless"
expect "times after the last transition are refused without a rule" 1 "its file has no rule for later" \
    fat America/Ruleless

mkdir "$work/none"
expect "an empty folder has no zones" 1 "is no zone known here" none America/Toronto
expect "its missing release is told" 1 "release: $system/tzdata.zi: cannot be read" none America/Toronto
expect "no folder at all asks for the package" 1 "there is no zone data.*apt-get install tzdata" \
    none America/Toronto /usr/share

chmod 000 "$ours/Toronto"
expect "a file that may not be read is named" 1 "America/Toronto: zone .*cannot be read: Permission denied" \
    fat America/Toronto $system 65534
chmod 700 "$work/fat"
expect "a folder that may not be read is named" 1 "the folder cannot be read, Permission denied.*chmod" \
    fat America/Halifax $system 65534

echo "$tried tried, $failed failed"
[ $failed -eq 0 ]
