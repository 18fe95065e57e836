//! stub
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    file: std::path::PathBuf,
}
pub(crate) fn run(
    _a: &Arguments,
    _b: &crate::answer::Asked,
) -> Result<crate::answer::Answer, crate::answer::Failure> {
    Err(crate::answer::Failure::new("x", "y"))
}
