#!/bin/sh
# make install into an empty root: every file where it belongs; a user's program, in C and in C++, compiles with what
# pkg-config says and runs against the shared library; the symbols that leave it are those of a list; make uninstall takes all away again.
set -u
: "${MAKE:=make}" "${CC:=cc}" "${CXX:=c++}" "${BUILD:=build}"
root=$(mktemp -d) || exit 1
trap 'rm -rf "$root"' EXIT
fail() { echo "FAIL install: $*"; exit 1; }

$MAKE -s install DESTDIR="$root" PREFIX=/usr BUILD="$BUILD" > "$root/log" 2>&1 || { cat "$root/log"; fail "make install"; }
for f in bin/crankcard lib/libcrankcard.a lib/libcrankcard.so lib/pkgconfig/crankcard.pc include/crankcard/crankcard.h \
         share/man/man1/crankcard.1 share/man/man5/crankcard-profile.5 share/man/man7/crankcard-output.7 \
         share/doc/crankcard/README.md share/crankcard/heads/small-tilting.ini share/bash-completion/completions/crankcard; do
    [ -e "$root/usr/$f" ] || fail "usr/$f is missing"
done
"$root/usr/bin/crankcard" heads --where | grep -q "$root/usr/share/crankcard/heads .*found" ||
    fail "the program does not find the profiles beside it"

cat > "$root/user.c" <<'END'
#include <crankcard/crankcard.h>
#include <stdio.h>
int main(void)
{
    struct cc_head head;
    cc_head_init(&head);
    int bad = cc_head_default(&head, NULL) != CC_OK;
    puts(bad ? "no head" : cc_version());
    cc_head_clear(&head);
    return bad;
}
END
export PKG_CONFIG_PATH="$root/usr/lib/pkgconfig"
flags=$(pkg-config --define-variable=prefix="$root/usr" --cflags --libs crankcard) || fail "pkg-config"
# shellcheck disable=SC2086
$CC -o "$root/user" "$root/user.c" $flags || fail "a user's program does not link"
LD_LIBRARY_PATH="$root/usr/lib" "$root/user" > "$root/out" || fail "a user's program does not run"
pkg-config --modversion crankcard | cmp -s - "$root/out" || fail "the versions differ"

# Each header is complete by itself, in C and in the oldest C++ we mean; the same program in C++ finds the same functions.
for h in "$root"/usr/include/crankcard/*.h; do
    echo "#include <crankcard/${h##*/}>" > "$root/one.c"
    cp "$root/one.c" "$root/one.cc"
    $CC -std=c11 -Wall -Wextra -Wpedantic -Werror -fsyntax-only -I"$root/usr/include" "$root/one.c" ||
        fail "${h##*/} is not complete by itself"
    $CXX -std=c++11 -Wall -Wextra -Wpedantic -Werror -fsyntax-only -I"$root/usr/include" "$root/one.cc" ||
        fail "${h##*/} is not C++"
done
cp "$root/user.c" "$root/user.cc"
# shellcheck disable=SC2086
$CXX -std=c++11 -o "$root/user" "$root/user.cc" $flags || fail "a user's C++ program does not link"
LD_LIBRARY_PATH="$root/usr/lib" "$root/user" > "$root/out" || fail "a user's C++ program does not run"
pkg-config --modversion crankcard | cmp -s - "$root/out" || fail "the versions differ in C++"

# The example of docs/library.md prints what the program prints; what it says of 10^9 divisions is a "no".
# shellcheck disable=SC2046,SC2086
$CC -std=c11 -Wall -Wextra -Werror -o "$root/steps" examples/library_steps.c $flags -lgmp ||
    fail "examples/library_steps.c does not compile"
LD_LIBRARY_PATH="$root/usr/lib" "$root/steps" 57 > "$root/out" || fail "examples/library_steps.c does not run"
env -u CRANKCARD_HEAD HOME="$root" XDG_CONFIG_HOME="$root" "$root/usr/bin/crankcard" 57 --format tsv | tail -n +2 |
    cut -f3,9,14 | cmp -s - "$root/out" || fail "examples/library_steps.c says other than the program"
LD_LIBRARY_PATH="$root/usr/lib" "$root/steps" 1000000000 > "$root/out" 2>&1
[ $? -eq 1 ] || fail "examples/library_steps.c: no status 1 for what cannot be divided"

# A symbol that goes breaks programs: only with a new major version and soname. New ones are added to the list.
nm -D --defined-only "$root/usr/lib/libcrankcard.so" | awk '$2 != "A" { print $3 }' | LC_ALL=C sort > "$root/symbols"
LC_ALL=C sort tests/cases/symbols.txt | diff - "$root/symbols" || fail "the library's symbols are not those of tests/cases/symbols.txt"
readelf -d "$root/usr/lib/libcrankcard.so" | grep -q 'SONAME.*\[libcrankcard\.so\.[0-9]*\]' || fail "no versioned soname"

$MAKE -s uninstall DESTDIR="$root" PREFIX=/usr BUILD="$BUILD" || fail "make uninstall"
left=$(find "$root/usr" ! -type d)
[ -z "$left" ] || fail "left behind: $left"
echo "ok   install and uninstall"
