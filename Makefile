# The few commands of the project. CMake and Ninja do the work; each target installs the Debian packages it lacks (tools/deps.sh).
SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.ONESHELL:
.DEFAULT_GOAL := build
.PHONY: program build demo check wasm page screens bench fuzz soak mutants format tidy readme install uninstall package package-check clean help

PREFIX ?= /usr/local
BUILD ?= build
SITE ?= examples/nursery.yaml
REPORT ?= build/report.html
SECONDS ?= 60
SITES ?= 500
PAGE ?= 1
JOBS ?= $(shell nproc 2>/dev/null || echo 2)
QUIET_NINJA := ninja -j $(JOBS) --quiet

help: ## this list
	@sed -n 's/^\([a-z-]*\):.*## /make \1 - /p' $(MAKEFILE_LIST)

program:
	@tools/deps.sh build
	cmake -S . -B build -G Ninja -DPW_TESTS=OFF >/dev/null
	$(QUIET_NINJA) -C build pumpwright library

build: program ## the program build/pumpwright, and the page; without node: make build PAGE=0
	@if [ "$(PAGE)" != 0 ]; then $(MAKE) --no-print-directory page; fi

demo: program ## prove the invented nursery and write a report
	@echo
	tools/demo.sh build/pumpwright $(SITE) $(REPORT)

check: ## all tests, plain and under sanitizers, native and WebAssembly
	@tools/deps.sh check
	cmake -S . -B build -G Ninja -DPW_TESTS=ON -DPW_PAGE=ON -DNODE="$$(tools/deps.sh node)" >/dev/null
	cmake -S . -B build-san -G Ninja -DPW_TESTS=ON -DCMAKE_BUILD_TYPE=Debug -DPW_SANITIZE=address,undefined \
		-DNODE="$$(tools/deps.sh node)" >/dev/null
	$(QUIET_NINJA) -C build
	$(QUIET_NINJA) -C build-san
	tools/wasm.sh
	$(MAKE) --no-print-directory page
	mkdir -p build-all
	printf 'subdirs("../build" "../build-san")\n' > build-all/CTestTestfile.cmake
	ctest --test-dir build-all -j $(JOBS) --output-on-failure --no-tests=error

wasm: ## the core as WebAssembly
	@tools/deps.sh check
	tools/wasm.sh

page: ## the page: build/page, and all of it in one file, build/pumpwright.html
	@tools/deps.sh page
	cd shell/page
	npm ci --loglevel=error --no-audit --no-fund
	npm run --silent build

screens: page ## pictures of every place of the page, to be looked at: build/screens
	"$$(tools/deps.sh node)" shell/page/screens.mjs

bench: ## speed, measured on this machine (an hour or more); in minutes: make bench SHORT=1; into docs/performance.md: WRITE=1
	@tools/deps.sh bench
	cmake -S . -B build-bench -G Ninja -DPW_TESTS=OFF -DPW_BENCH=ON >/dev/null
	$(QUIET_NINJA) -C build-bench
	bench/speed.py build-bench $(if $(SHORT),--short) $(if $(WRITE),--write)

fuzz: ## throw broken input at each reader: make fuzz SECONDS=60
	@tools/deps.sh fuzz
	tools/fuzz.sh $(SECONDS)

mutants: ## would the fast tests notice a wrong law? Some minutes; writes docs/verification.md
	@tools/deps.sh check
	nice tools/mutants/run.py --write

soak: ## some hundred random sites, half of them extreme, simulated to the end under sanitizers: make soak SITES=500
	@tools/deps.sh check
	cmake -S . -B build-san -G Ninja -DPW_TESTS=ON -DCMAKE_BUILD_TYPE=Debug -DPW_SANITIZE=address,undefined >/dev/null
	$(QUIET_NINJA) -C build-san soak
	build-san/tests/soak/soak 0 $(SITES)

format: ## clang-format over all C files
	@tools/deps.sh format
	git ls-files '*.[ch]' | xargs clang-format-14 -i

tidy: ## the rules of the house (tools/tidy), then clang-tidy
	@tools/deps.sh format
	tools/tidy
	cmake -S . -B build -G Ninja >/dev/null
	git ls-files 'core/*.c' 'shell/*.c' | xargs clang-tidy-14 --quiet -p build --extra-arg=-Wno-unknown-warning-option

readme: build ## the sample in README.md, made anew by the program
	tools/sample.sh build/pumpwright --write

install: ## program, page, library, Python module, man page, completion: make install PREFIX=/usr/local
	@[ -e "$(BUILD)/libpumpwright.a" ] || $(MAKE) --no-print-directory build
	DESTDIR="$(DESTDIR)" cmake --install "$(BUILD)" --prefix "$(PREFIX)" >/dev/null
	echo "installed in $(DESTDIR)$(PREFIX)"

uninstall: ## the same away again: make uninstall PREFIX=/usr/local
	@DESTDIR="$(DESTDIR)" tools/uninstall.sh "$(BUILD)" "$(PREFIX)"
	echo "removed from $(DESTDIR)$(PREFIX)"

package: page ## a Debian package, and a tarball with a static program and the page: build/package
	@tools/deps.sh package
	tools/package.sh $(JOBS)

package-check: package ## install and try both on a bare Debian (as root; some minutes)
	@tools/deps.sh package-check
	tools/package_check.sh

clean: ## remove everything that was built
	rm -rf build build-san build-bench build-fuzz build-wasm build-all build-package build-alone
