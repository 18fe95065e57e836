//! Rust text reduced to what the program runs: no comments, no tests.

/// Lines of code with their numbers from 1; comment lines and items under `#[cfg(test)]` left out.
///
/// Relies on the formatter: an item ends at the first line with the indentation of its beginning
/// that closes it.
pub(crate) fn run_lines(text: &str) -> Vec<(usize, &str)> {
    let mut kept = Vec::new();
    let mut lines = text.lines().enumerate();
    while let Some((at, line)) = lines.next() {
        let code = line.trim_start();
        if code.starts_with("//") {
            continue;
        }
        if !code.starts_with("#[cfg(test)]") {
            kept.push((at + 1, line));
            continue;
        }
        let indentation = line.len() - code.len();
        for (_, line) in lines.by_ref() {
            let code = line.trim_start();
            let level = line.len() - code.len() == indentation;
            let attribute = code.starts_with("#[") || code.starts_with("//");
            if level && !attribute && (code.starts_with('}') || code.ends_with([';', '}'])) {
                break;
            }
        }
    }
    kept
}

/// Whether a whole file is for tests alone.
pub(crate) fn is_test(path: &str) -> bool {
    path.ends_with("/tests.rs") || path.contains("/tests/")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: &[usize]) {
        let kept = run_lines(text).into_iter().map(|(number, _)| number).collect::<Vec<_>>();
        assert_eq!(kept, expected, "{text}");
    }

    #[test]
    fn comments_and_test_modules_are_left_out_and_what_follows_is_kept() {
        check("//! File.\nfn a() {}\n", &[2]);
        check("fn a() {}\n#[cfg(test)]\nmod tests {\n    fn b() {}\n}\nfn c() {}\n", &[1, 6]);
        check("#[cfg(test)]\nmod tests;\nfn c() {}\n", &[3]);
        check("#[cfg(test)]\n#[rustfmt::skip]\nuse a::b;\nfn c() {}\n", &[4]);
        check("mod m {\n    #[cfg(test)]\n    fn b() {\n    }\n    fn c() {}\n}\n", &[1, 5, 6]);
    }
}
