//! The framework's hello world with its counter, beside which `make bench` measures the page: the
//! same compiler, flags and packing.
//! Only for the browser.

#[cfg(target_arch = "wasm32")]
fn main() {
    use leptos::prelude::*;
    leptos::mount::mount_to_body(|| {
        let (count, set_count) = signal(0);
        view! {
            <h1>"Hello, world"</h1>
            <button on:click=move |_| set_count.update(|n| *n += 1)>"Tapped: " {count}</button>
        }
    });
}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    println!("This example is a page for the browser: `make bench` builds it.");
}
