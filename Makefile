# make serve: set up, build, serve on this machine. make dev: serve the page while it is worked on. make test: set up, run every check. make long: what takes longer than a test may. make dist: write the static site, and the page as one file. make bench: time the chemistry and the page.
SHELL := bash
.PHONY: serve dev test long dist bench setup clean

setup:
	@bash .ci/setup

dist: setup
	@echo "== page"; s=$$SECONDS; bash .ci/build-web && node .ci/one-file.mjs && echo "built in $$((SECONDS-s)) s: dist/"

serve: dist
	@node .ci/serve.mjs

dev: setup
	@bash .ci/dev

test:
	@bash .ci/test

long:
	@bash .ci/long

bench:
	@bash .ci/bench

clean:
	rm -rf target dist tests/browser/node_modules tests/lighthouse/node_modules
