//! Mounts the page; everything else lives in the library.

#[cfg(target_arch = "wasm32")]
fn main() {
    stillbright::app::mount();
}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    println!(
        "Stillbright is a page for the browser: run `make serve`. The same engine without a browser: `cargo run --release --example advise -- SCENARIO.json`."
    );
}
