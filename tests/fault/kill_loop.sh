#!/bin/sh
# kill_loop.sh [KILLS [RECORDS [SEED]]] - kill -9 at random moments of a filing.
#
# Three kinds in turn: filing RECORDS records into a book of 100, amending its 100, and filing into a book
# that is not there yet. After each kill `lotward book verify` must pass, with the head noted before the
# filing still in the book, and the book must hold the old number of entries or the new one; then
# nothing but the book may be left in its folder. The moments are spread over the time that a whole
# filing takes on this machine. At least a tenth of the kills must have cut a filing off, or the test proved
# nothing.
#
# Environment: LW_BUILDDIR (the program); without arguments LW_KILLS, else 5.
set -u
: "${LW_BUILDDIR:?}"
PATH="$LW_BUILDDIR:$PATH"
LC_ALL=C
export PATH LC_ALL
kills=${1:-${LW_KILLS:-5}}
records=${2:-5000}
seed=${3:-20261125}
tmp=$(mktemp -d "${TMPDIR:-/tmp}/lw-kill.XXXXXX") || exit 2
trap 'rm -rf "$tmp"' EXIT
trap 'exit 130' INT TERM
fail() {
    echo "FAIL kill $n ($kind, after $wait_s s): $*"
    exit 1
}

# make_records FIRST LAST MASS
make_records() {
    awk -v a="$1" -v b="$2" -v m="$3" 'BEGIN {
        print "<records>"
        for (i = a; i <= b; i++)
            printf "<receipt id=\"R-%d\" date=\"2026-03-04\" material=\"tolu-balsam\" quantity=\"%d g\" " \
                   "supplier-lot=\"S-%d\" note=\"as weighed on the bench scale, tare taken off, bag %d\"/>\n",
                   i, m, i, i
        print "</records>"
    }'
}
make_records 1 100 400 >"$tmp/old.xml"
make_records 1 100 450 >"$tmp/amended.xml"
make_records 1 1 1 | sed 's/R-1"/R-one"/' >"$tmp/one.xml"
make_records 1001 $((1000 + records)) 400 >"$tmp/new.xml"

mkdir "$tmp/w"
book=$tmp/w/book
n=0 kind=setup wait_s=0
lotward file --book "$book" "$tmp/old.xml" >"$tmp/out" 2>&1 || fail "$(cat "$tmp/out")"
old_head=$(sed -n 's/^head: //p' "$tmp/out")
cp "$book" "$tmp/old.book"

# A whole filing, timed in milliseconds.
now_ms() { echo $(($(date +%s%N) / 1000000)); }
start=$(now_ms)
lotward file --book "$book" "$tmp/new.xml" >"$tmp/out" 2>&1 || fail "$(cat "$tmp/out")"
whole_ms=$(($(now_ms) - start))

cut_off=0 done_whole=0 left=0 recovered=0
while [ "$n" -lt "$kills" ]; do
    n=$((n + 1))
    rm -f "$book" "$book"-*
    cp "$tmp/old.book" "$book" && chmod 600 "$book" || exit 2
    expect="--expect $old_head" old=100
    case $((n % 3)) in
    0) kind=amending new=200 ;;
    1) kind=filing new=$((100 + records)) ;;
    2) kind=making old=0 new=$records expect=; rm -f "$book" ;;
    esac
    # An even spread, shaken; the k-th of the kills is at about k/kills of the whole.
    wait_s=$(awk -v s=$((seed + n)) -v n="$n" -v of="$kills" -v ms="$whole_ms" -v kind=$kind 'BEGIN {
        srand(s); part = ((n * 7919) % of + rand()) / of
        if (kind == "amending") ms = ms / 5
        printf "%.4f", part * ms / 1000 }')
    case $kind in
    amending) lotward amend --book "$book" --who test --why kill "$tmp/amended.xml" >/dev/null 2>&1 & ;;
    *) lotward file --book "$book" "$tmp/new.xml" >/dev/null 2>&1 & ;;
    esac
    pid=$!
    sleep "$wait_s"
    kill -9 $pid 2>/dev/null
    wait $pid 2>/dev/null
    if [ ! -e "$book" ]; then
        [ $kind = making ] || fail "the book is gone"
        [ -z "$(ls -A "$tmp/w")" ] || fail "left without a book: $(ls -A "$tmp/w")"
        cut_off=$((cut_off + 1))
        continue
    fi
    # shellcheck disable=SC2086 # two words or none
    lotward book verify --book "$book" $expect >"$tmp/out" 2>&1 || fail "$(cat "$tmp/out")"
    grep -q 'an earlier filing was cut off' "$tmp/out" && recovered=$((recovered + 1))
    holds=$(sed -n 's/.*: \([0-9]*\) entr.*verifies$/\1/p' "$tmp/out")
    case $holds in
    "$old") cut_off=$((cut_off + 1)) ;;
    "$new") done_whole=$((done_whole + 1)) ;;
    *) fail "holds '$holds' entries, not $old or $new: $(cat "$tmp/out")" ;;
    esac
    # A journal that was begun but holds nothing yet is left to the next filing, which clears it.
    if [ -e "$book-journal" ]; then
        left=$((left + 1))
        lotward file --book "$book" "$tmp/one.xml" >"$tmp/out" 2>&1 || fail "$(cat "$tmp/out")"
        lotward book verify --book "$book" >"$tmp/out" 2>&1 || fail "$(cat "$tmp/out")"
    fi
    [ "$(ls -A "$tmp/w")" = book ] || fail "left beside the book: $(ls -A "$tmp/w")"
done
echo "$n kills during filings of $records records ($whole_ms ms whole): $cut_off left the old book," \
    "$done_whole the new one; $recovered were played back, $left had an empty" \
    "journal"
[ $((cut_off * 10)) -ge "$kills" ] || {
    echo "FAIL too few filings were cut off to show anything"
    exit 1
}
