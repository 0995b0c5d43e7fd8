# make serve: set up, build, serve on this machine. make test: set up, run every check. make dist: write the static site, and the page as one file. make bench: time the chemistry and the page.
SHELL := bash
.PHONY: serve test dist bench setup clean

setup:
	@bash .ci/setup

dist: setup
	@echo "== page"; s=$$SECONDS; bash .ci/build-web && node .ci/one-file.mjs && echo "built in $$((SECONDS-s)) s: dist/"

serve: dist
	@node .ci/serve.mjs

test:
	@bash .ci/test

bench:
	@bash .ci/bench

clean:
	rm -rf target dist tests/browser/node_modules tests/lighthouse/node_modules
