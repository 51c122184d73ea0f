#!/bin/sh
# failures.sh - allocations, then calls on files, failed one at a time over many commands
# (tests/fault/campaign.c).
#
# Without LW_THOROUGH a sample of places of every fourth command, the same each time; with it every command,
# some hundred places spread over its run and the first call on up to a thousand call paths, each once and
# from then on. Skipped in builds with a sanitizer, which stands in front of the same calls.
# Environment: LW_SRCDIR, LW_BUILDDIR.
set -u
: "${LW_SRCDIR:?}" "${LW_BUILDDIR:?}"
campaign=$LW_BUILDDIR/tests/fault/campaign
if grep -q 'fsanitize' "$LW_BUILDDIR/Makefile" && grep '^LW_CFLAGS' "$LW_BUILDDIR/Makefile" | grep -q fsanitize; then
    echo "not run: this build has a sanitizer"
    exit 77
fi
LC_ALL=C
export LC_ALL
if [ -n "${LW_THOROUGH:-}" ]; then
    set -- --even "${LW_EVEN:-100}" --paths "${LW_PATHS:-1000}"
else
    set -- --even 6 --paths 8 --every 4
fi
status=0
"$campaign" "$@" "$LW_SRCDIR" "$LW_BUILDDIR" || status=1
"$campaign" --io "$@" "$LW_SRCDIR" "$LW_BUILDDIR" || status=1
exit $status
