#!/bin/sh
# trouble.sh - a filing meets the troubles of a real machine: a disk that fills up, a signal, another
# writer, an output that cannot be written, a folder that may not be. After each the book verifies, holds the
# old number of entries or the new one, the exit status and the message say which, and nothing is left over.
#
# The full disk is a limit on the size of files (ulimit -f), in steps from nothing to enough.
# Environment: LW_BUILDDIR (the program); LW_THOROUGH for finer steps and more signals.
set -u
: "${LW_BUILDDIR:?}"
PATH="$LW_BUILDDIR:$PATH"
LC_ALL=C
export PATH LC_ALL
step=64 signals=4 writers=4
[ -z "${LW_THOROUGH:-}" ] || { step=8 signals=40 writers=12; }
tmp=$(mktemp -d "${TMPDIR:-/tmp}/lw-trouble.XXXXXX") || exit 2
trap 'chmod -R u+w "$tmp"; rm -rf "$tmp"' EXIT
trap 'exit 130' INT TERM
what=setup
fail() {
    echo "FAIL $what: $*"
    exit 1
}

# make_records PREFIX COUNT MASS
make_records() {
    awk -v p="$1" -v n="$2" -v m="$3" 'BEGIN {
        print "<records>"
        for (i = 1; i <= n; i++)
            printf "<receipt id=\"%s-%d\" date=\"2026-03-04\" material=\"tolu-balsam\" quantity=\"%d g\"/>\n",
                   p, i, m
        print "</records>"
    }'
}
mkdir "$tmp/w"
book=$tmp/w/book
make_records R 50 400 >"$tmp/old.xml"
make_records N 1000 400 >"$tmp/new.xml"
make_records R 50 450 >"$tmp/amended.xml"
lotward file --book "$book" "$tmp/old.xml" >"$tmp/out" 2>&1 || fail "$(cat "$tmp/out")"
cp "$book" "$tmp/old.book"
fresh() {
    rm -f "$book" "$book"-*
    cp "$tmp/old.book" "$book" && chmod 600 "$book" || exit 2
}
# holds NUMBER...: the book verifies and holds one of these numbers of entries; sets $entries
holds() {
    lotward book verify --book "$book" >"$tmp/verify" 2>&1 || fail "$(cat "$tmp/verify")"
    entries=$(sed -n 's/.*: \([0-9]*\) entr.*verifies$/\1/p' "$tmp/verify")
    for number in "$@"; do
        [ "$entries" = "$number" ] && return
    done
    fail "holds $entries entries, not one of: $*"
}
alone() {
    [ ! -e "$book-journal" ] || lotward file --book "$book" "$tmp/one.xml" >/dev/null 2>&1
    [ "$(ls -A "$tmp/w")" = book ] || fail "left beside the book: $(ls -A "$tmp/w")"
}
make_records ONE 1 1 >"$tmp/one.xml"

# --- the disk fills up ---
for kind in file amend; do
    blocks=0 failures=0 whole=0
    while [ "$whole" -eq 0 ]; do
        what="$kind with files of at most $blocks blocks of 512 bytes"
        fresh
        new=1050
        set -- file --book "$book" "$tmp/new.xml"
        [ $kind = file ] || { new=100; set -- amend --book "$book" --who t --why t "$tmp/amended.xml"; }
        (
            trap '' XFSZ
            ulimit -f "$blocks"
            exec lotward "$@"
        ) >"$tmp/out" 2>"$tmp/err" </dev/null
        status=$?
        # The limit holds for what is printed too: nothing may be printed at all under it.
        if [ "$status" -eq 0 ]; then
            holds "$new"
            whole=1
        else
            [ "$status" -eq 3 ] || fail "exit $status: $(cat "$tmp/err")"
            [ "$blocks" -eq 0 ] || [ -s "$tmp/err" ] || fail "nothing was said"
            holds 50 "$new"
            failures=$((failures + 1))
        fi
        alone
        blocks=$((blocks + step))
        [ "$blocks" -lt 20000 ] || fail "never enough"
    done
    [ "$failures" -gt 0 ] || fail "the limit never bit"
    echo "$kind: $failures full disks, then enough"
done

# --- a signal ---
what=signal
stopped=0 n=0
while [ "$n" -lt "$signals" ]; do
    n=$((n + 1))
    for signal in INT TERM HUP; do
        what="signal $signal, $n"
        fresh
        # A shell's background job ignores SIGINT; env(1) gives it back.
        env --default-signal=INT lotward file --book "$book" "$tmp/new.xml" >/dev/null 2>&1 &
        pid=$!
        sleep "0.0$((n % 4))$((n % 10))"
        kill -s $signal $pid 2>/dev/null
        wait $pid 2>/dev/null
        status=$?
        holds 50 1050
        if [ "$status" -eq 0 ]; then
            [ "$entries" -eq 1050 ] || fail "said done, holds $entries"
        else
            stopped=$((stopped + 1))
        fi
        alone
    done
done
echo "$((n * 3)) signals, $stopped filings stopped"

# --- writers at once ---
what="$writers writers at once"
fresh
n=0
while [ "$n" -lt "$writers" ]; do
    n=$((n + 1))
    make_records "W$n" 40 400 >"$tmp/w$n.xml"
    (
        lotward file --book "$book" "$tmp/w$n.xml" >/dev/null 2>"$tmp/w$n.err"
        echo $? >"$tmp/w$n.status"
    ) &
done
wait
done_well=0 n=0
while [ "$n" -lt "$writers" ]; do
    n=$((n + 1))
    case $(cat "$tmp/w$n.status") in
    0) done_well=$((done_well + 1)) ;;
    3) grep -q 'another program is using the book' "$tmp/w$n.err" || fail "$(cat "$tmp/w$n.err")" ;;
    *) fail "$(cat "$tmp/w$n.err")" ;;
    esac
done
[ "$done_well" -gt 0 ] || fail "no writer got through"
holds $((50 + 40 * done_well))
alone
what="making a book, $writers at once"
rm -f "$book"
n=0
while [ "$n" -lt "$writers" ]; do
    n=$((n + 1))
    lotward file --book "$book" "$tmp/w$n.xml" >/dev/null 2>&1 &
done
wait
lotward book verify --book "$book" >/dev/null 2>&1 || fail "$(lotward book verify --book "$book" 2>&1)"
alone
echo "$done_well of $writers writers at once got through, one after another"

# --- output that cannot be written ---
what="standard output full"
fresh
if [ -w /dev/full ]; then
    lotward file --book "$book" "$tmp/new.xml" >/dev/full 2>"$tmp/err"
    [ $? -eq 3 ] || fail "exit is not 3"
    [ -s "$tmp/err" ] || fail "nothing was said"
    holds 1050
    alone
fi
what="standard output closed"
fresh
lotward file --book "$book" "$tmp/new.xml" >&- 2>"$tmp/err"
[ $? -eq 3 ] || fail "exit is not 3"
holds 50 1050
alone

# --- what may not be written (root may write everything: then an unprivileged user is borrowed) ---
as_user=
if [ "$(id -u)" -eq 0 ]; then
    as_user='setpriv --reuid=65534 --regid=65534 --clear-groups'
    chmod 755 "$tmp"
    $as_user true 2>/dev/null && $as_user test -x "$LW_BUILDDIR/lotward" || as_user=skip
fi
if [ "$as_user" = skip ]; then
    echo "not run: read-only book and folder (no unprivileged user can be borrowed)"
else
    # refused WORDS... : exit 3, something said, and the book as it was
    refused() {
        "$@" >"$tmp/out" 2>"$tmp/err"
        status=$?
        [ $status -eq 3 ] || fail "exit $status: $(cat "$tmp/err")"
        [ -s "$tmp/err" ] || fail "nothing was said"
        cmp -s "$book" "$tmp/old.book" || fail "the book was changed"
    }
    fresh
    chmod 644 "$book" "$tmp"/*.xml
    [ -z "$as_user" ] || chown 65534 "$book" "$tmp/w"
    what="read-only book"
    chmod 444 "$book"
    chmod 755 "$tmp/w"
    # shellcheck disable=SC2086 # a command of several words
    {
        refused $as_user lotward file --book "$book" "$tmp/new.xml"
        $as_user lotward book verify --book "$book" >/dev/null || fail "not readable"
        what="read-only folder"
        chmod 644 "$book"
        chmod 555 "$tmp/w"
        refused $as_user lotward file --book "$book" "$tmp/new.xml"
        refused $as_user lotward file --book "$tmp/w/another" "$tmp/new.xml"
        $as_user lotward book verify --book "$book" >/dev/null || fail "not readable"
        what="unreadable book"
        chmod 000 "$book"
        [ -z "$as_user" ] || chown 0 "$book"
        $as_user lotward book verify --book "$book" >/dev/null 2>"$tmp/err"
        [ $? -eq 3 ] || fail "exit is not 3: $(cat "$tmp/err")"
    }
    chmod 755 "$tmp/w"
    [ "$(ls -A "$tmp/w")" = book ] || fail "left: $(ls -A "$tmp/w")"
    echo "read-only and unreadable: refused, unchanged"
fi
