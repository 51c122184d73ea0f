# The printable sheet. What needs npm or a browser is `make check-page`.
script_tests += tests/page/sheet
