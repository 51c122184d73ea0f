# What comes from elsewhere and means harm: sheets, books, names, records; and what the program may touch.
script_tests += tests/hostile/sheets tests/hostile/escapes tests/hostile/permissions tests/hostile/books
