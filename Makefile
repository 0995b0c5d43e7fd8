# make serve: set up, build, serve on this machine. make dev: serve the page while it is worked on. make test: set up, run every check. make long: what takes longer than a test may. make format: form Rust, scripts and styles. make dist: write the static site, and the page as one file. make bench: time the chemistry and the page.
# make changed: what the working tree decides otherwise than the kept values, or than those of a commit (AGAINST=HEAD~3). make accept: keep what it decides and says now, and what the tables come to.
SHELL := bash
.PHONY: serve dev test long format dist bench changed accept setup clean

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

format: setup
	@bash .ci/format

bench:
	@bash .ci/bench

changed:
	@mkdir -p target/snapshots
	@$(if $(AGAINST),git show $(AGAINST):tests/snapshots/values.jsonl,cat tests/snapshots/values.jsonl) > target/snapshots/against.jsonl
	@AGAINST_FILE=target/snapshots/against.jsonl cargo test --locked --quiet --test snapshots the_values > target/snapshots/log.txt 2>&1 || { cat target/snapshots/log.txt; exit 1; }
	@cat target/snapshots/changed.txt

# The US figures last: they stand beside what the other two have written.
accept:
	@ACCEPT=1 cargo test --locked --quiet --test snapshots
	@ACCEPT=1 node --test tests/snapshots/words.test.mjs > /dev/null
	@ACCEPT=1 cargo test --locked --quiet --test snapshots the_us
	@ACCEPT=1 cargo test --locked --quiet --test honest
	@ACCEPT=1 cargo test --locked --quiet --features schema --test schemas

clean:
	rm -rf target dist tests/browser/node_modules tests/lighthouse/node_modules
