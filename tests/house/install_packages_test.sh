#!/usr/bin/env bash
# tools/install-packages against a pretended Debian: installs only what is missing, and only as root.
#   install_packages_test.sh SOURCE
set -euo pipefail
. "$(dirname "$0")/support.sh"
script=$1/tools/install-packages

# pretend USER-ID PACKAGE...: these are not installed, and apt-get writes down what it was asked.
pretend() {
  empty
  local user=$1
  shift
  put bin/id "echo $user"
  put bin/dpkg-query "case ' $* ' in *\" \$3 \"*) exit 1 ;; *) echo -n installed ;; esac"
  put bin/apt-get "echo \"apt-get \$*\" >>'$tree/asked'; $fate"
  sed -i '1i #!/bin/sh' "$tree"/bin/*
  chmod +x "$tree"/bin/*
  : >"$tree/asked"
}
run() { PATH="$tree/bin:$PATH" bash "$script" "$@"; }
fate=true

pretend 0
expect "nothing missing, as root" 0 "packages to build: all" run build
expect "then apt-get is not asked" 0 "" test ! -s "$tree/asked"

pretend 1000
expect "nothing missing, without root" 0 "packages to build test: all" run build test

pretend 1000 catch2
expect "one missing, without root" 1 "apt-get install -y --no-install-recommends catch2" run build test
expect "then nothing was installed" 0 "" test ! -s "$tree/asked"

pretend 0 catch2 libglpk-dev
expect "two missing, as root" 0 "installing catch2 libglpk-dev" run build test bench
expect "the lists are read first" 0 "apt-get update" head -n 1 "$tree/asked"
expect "a package of two purposes is asked once" 0 \
  "apt-get install -y --no-install-recommends catch2 libglpk-dev" tail -n 1 "$tree/asked"

fate='echo no such thing; exit 100'
pretend 0 catch2
expect "a failing apt-get fails, with its words" 1 "no such thing" run test

# release ID: the pretended Debian's.
fate=true
release() { printf 'ID=debian\nVERSION_ID="%s"\n' "$1" >"$tree/os-release"; }
boost() { OS_RELEASE_FILE=$tree/os-release run build; }
pretend 0 libboost1.81-dev libboost-dev
release 12
expect "Debian 12 gets the Boost beside its default" 0 "installing libboost1.81-dev" boost
release 13
expect "Debian 13 gets its default Boost" 0 "installing libboost-dev" boost
: >"$tree/os-release"
expect "a Debian without a number, such as sid, gets its default Boost" 0 "installing libboost-dev" boost

expect "no purpose is an error" 1 "PURPOSE" run
expect "an unknown purpose is an error" 1 "no purpose 'tset'" run tset
exit $((failures > 0))
