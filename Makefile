# The menu. Each entry is one line of work; the work itself is done by CMake and by tools/.

.DEFAULT_GOAL := help
.PHONY: help start build check asan bench fuzz coverage wasm page site format install deb clean

PREFIX ?= /usr/local
FUZZ_SECONDS ?= 60

help:            ## this list
	@sed -n 's/^\([a-z]*\):.*## \(.*\)/  make \1|\2/p' Makefile | \
		awk -F'|' '{ printf "%-16s %s\n", $$1, $$2 }'

start:           ## install what is missing, build, and show the main job on a demo aircraft
	@tools/setup build
	@tools/build native
	@tools/start-demo

build:           ## the program, as build/deadbus
	@tools/build native

check:           ## install what is missing, build with both compilers, run every test and check
	@tools/setup check
	@tools/run-checks

asan:            ## the tests with address and undefined-behavior sanitizers
	@tools/setup check
	@tools/run-checks build-asan tests-asan

bench:           ## speed, as a table and as lines of JSON, beside independent solvers
	@tools/setup check
	@tools/build gcc
	@tools/build wasm
	@tools/bench

fuzz:            ## arbitrary bytes for FUZZ_SECONDS (60) seconds
	@tools/setup check
	@tools/build fuzz
	@tools/fuzz $(FUZZ_SECONDS)

coverage:        ## executed lines of the core
	@tools/setup check
	@tools/build coverage
	@tools/coverage

wasm:            ## the core as build/wasm/deadbus.wasm
	@tools/setup check
	@tools/build wasm

page:            ## the interactive pages of the demo aircraft, in build/pages
	@tools/setup build
	@tools/build native
	@tools/make-pages

site:            ## the pages of the demo aircraft as a site of static files, in build/site
	@tools/setup build
	@tools/build native
	@tools/make-site

format:          ## format the code
	@tools/setup check
	@tools/check-format --fix

install:         ## install under PREFIX (/usr/local); DESTDIR is respected
	@tools/build native
	cmake --install build/native --prefix "$(PREFIX)"

deb:             ## a Debian package in build/
	@tools/setup build
	@tools/build native
	cd build/native && cpack -G DEB

clean:           ## remove what was built; the fetched source of libyaml stays
	@find build -mindepth 1 -maxdepth 1 ! -name third-party -exec rm -rf {} +
