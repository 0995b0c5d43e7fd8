# make serve: set up, build, serve on this machine. make test: set up, run every check. make dist: write the static site.
SHELL := bash
.PHONY: serve test dist setup clean

setup:
	@bash .ci/setup

dist: setup
	@echo "== page"; s=$$SECONDS; bash .ci/build-web && echo "built in $$((SECONDS-s)) s: dist/"

serve: dist
	@node .ci/serve.mjs

test:
	@bash .ci/test

clean:
	rm -rf target dist tests/browser/node_modules
