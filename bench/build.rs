//! Builds the calls to `SuiteSparse` when its headers are there, and without them otherwise.

fn main() {
    const CALLS: &str = "src/peers/suitesparse.c";
    println!("cargo::rerun-if-changed={CALLS}");
    let with = cc::Build::new()
        .file(CALLS)
        .define("WITH_SUITESPARSE", None)
        .opt_level(3)
        .cargo_warnings(false)
        .try_compile("suitesparse_calls");
    if with.is_ok() {
        println!("cargo::rustc-link-lib=klu");
        println!("cargo::rustc-link-lib=cholmod");
        println!("cargo::rustc-link-lib=suitesparseconfig");
    } else {
        println!("cargo::warning=built without SuiteSparse: apt-get install libsuitesparse-dev");
        cc::Build::new().file(CALLS).compile("suitesparse_calls");
    }
}
