# What the scripts of this folder share: a bad tree in a temporary folder, and one line per case.
tree=$(mktemp -d)
trap 'rm -rf "$tree"' EXIT
failures=0

# put FILE CONTENT: one file of the tree, folders made as needed.
put() { mkdir -p "$(dirname "$tree/$1")"; printf '%s\n' "$2" >"$tree/$1"; }

# empty: a new case begins.
empty() { rm -rf "${tree:?}"/*; }

# expect RULE STATUS TEXT COMMAND...: the command ends with STATUS (0, or 1 for any other) and says TEXT.
expect() {
  local rule=$1 wanted=$2 text=$3 said status=0
  shift 3
  said=$("$@" 2>&1) || status=1
  if [ $status -ne "$wanted" ] || [[ $said != *"$text"* ]]; then
    printf 'FAILED: %s: wanted status %s and "%s"; status %s and:\n%s\n' "$rule" "$wanted" "$text" "$status" "$said"
    failures=$((failures + 1))
  else
    echo "ok: $rule"
  fi
}
