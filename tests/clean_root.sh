#!/bin/bash
# README's two commands in an empty Debian 12, on demand and as root: a root folder is made with debootstrap (ROOT, kept for
# the next time; MIRROR, else the first of apt's own sources), the committed source cloned into it, and both commands
# run there as README.md has them.
set -u
: "${ROOT:=/var/tmp/crankcard-clean-root}"
[ "$(id -u)" = 0 ] || { echo "skip clean root: only root can make one"; exit 0; }
command -v debootstrap > /dev/null || { echo "skip clean root: debootstrap is not installed"; exit 0; }
if [ -z "${MIRROR:-}" ]; then
    MIRROR=$(cat /etc/apt/sources.list /etc/apt/sources.list.d/* 2> /dev/null | grep -oE 'https?://[^ ]+' | grep -v '#' | grep -m1 '/debian$')
fi
if [ ! -e "$ROOT/etc/debian_version" ]; then
    debootstrap --variant=minbase bookworm "$ROOT" "$MIRROR" > "$ROOT.log" 2>&1 || { tail -5 "$ROOT.log"; exit 1; }
fi
cp /etc/resolv.conf /etc/hosts "$ROOT/etc/"
mkdir -p "$ROOT/proc" "$ROOT/dev/pts"
mount -t proc proc "$ROOT/proc"
mount -t devpts devpts "$ROOT/dev/pts"
trap 'umount "$ROOT/dev/pts" "$ROOT/proc"' EXIT
rm -rf "$ROOT/src"
git clone -q . "$ROOT/src" || exit 1
failed=0
number=0
while read -r command; do
    number=$((number + 1))
    if chroot "$ROOT" env -i HOME=/root PATH=/usr/sbin:/usr/bin:/sbin:/bin DEBIAN_FRONTEND=noninteractive \
        http_proxy="${http_proxy:-}" bash -c "cd /src && $command" > "$ROOT/$number.log" 2>&1 < /dev/null; then
        echo "ok   README's command $number in a clean root"
    else
        echo "FAIL README's command $number in a clean root"
        tail -20 "$ROOT/$number.log"
        failed=1
    fi
done < <(grep '^\$(command -v sudo)' README.md)
[ $number = 2 ] || { echo "FAIL README.md does not have its two commands"; failed=1; }
exit $failed
