//! SciPy's `splu`, run by `scipy_splu.py` on matrices written to a temporary folder.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::linear::{Linear, assert_equal};
use crate::timer::Time;

const REQUIREMENTS: &str = "checks/requirements.txt";
const SCRIPT: &str = "bench/scipy_splu.py";
const FIT: &str = "bench/scipy_fit.py";

/// A Python with the pinned libraries, or why there is none.
#[derive(Debug)]
pub(crate) struct Scipy {
    python: Result<PathBuf, String>,
    root: PathBuf,
    folder: PathBuf,
}

impl Scipy {
    /// Finds the environment that the outside checks use, and makes it when it is not there.
    pub(crate) fn new(root: &Path) -> Self {
        let folder = std::env::temp_dir().join(format!("groundloom-bench-{}", std::process::id()));
        Self { python: python(root), root: root.to_owned(), folder }
    }

    /// Versions, or why there are none.
    pub(crate) fn versions(&self) -> String {
        let says = "import platform, numpy, scipy; print('SciPy', scipy.__version__ + ', NumPy', \
                    numpy.__version__ + ', Python', platform.python_version())";
        match &self.python {
            Ok(python) => {
                output(Command::new(python).args(["-c", says])).unwrap_or_else(|error| error)
            }
            Err(error) => format!("SciPy not here: {error}"),
        }
    }

    /// Times `splu` and its solve on a network, and holds its answer to `expected`.
    ///
    /// # Errors
    ///
    /// What to say in the table when Python or its libraries are not there.
    pub(crate) fn splu(&self, linear: &Linear, expected: &[f64]) -> Result<Time, String> {
        let python = self.python.as_ref().map_err(|_| "not here (Python 3.11)".to_owned())?;
        let matrix = self.folder.join("matrix.mtx");
        let (right, answer) = (self.folder.join("right.txt"), self.folder.join("answer.txt"));
        let written = std::fs::create_dir_all(&self.folder)
            .and_then(|()| std::fs::write(&matrix, matrix_market(linear)))
            .and_then(|()| std::fs::write(&right, lines(&linear.injection)));
        written.map_err(|error| error.to_string())?;
        let mut command = Command::new(python);
        command.arg("-B").arg(self.root.join(SCRIPT)).args([&matrix, &right, &answer]);
        let said = output(command.env("OPENBLAS_NUM_THREADS", "1"))?;
        let volts = std::fs::read_to_string(&answer).map_err(|error| error.to_string())?;
        let volts: Vec<f64> = volts.lines().map(|line| line.parse().expect("a number")).collect();
        assert_equal("SciPy", expected, &volts);
        let seconds: Vec<f64> = said.lines().map(|line| line.parse().expect("seconds")).collect();
        Ok(Time::of(seconds))
    }
}

impl Scipy {
    /// Times one fit of a recorded estimation by `least_squares`, and gives the objective that it found.
    ///
    /// # Errors
    ///
    /// What to say in the table when Python or its libraries are not there.
    pub(crate) fn least_squares(&self, case: &str) -> Result<(Time, f64), String> {
        let python = self.python.as_ref().map_err(|_| "not here (Python 3.11)".to_owned())?;
        let mut command = Command::new(python);
        command.arg("-B").arg(self.root.join(FIT)).arg(case);
        let said = output(command.env("OPENBLAS_NUM_THREADS", "1"))?;
        let mut numbers = said.lines().map(|line| line.parse::<f64>().expect("a number"));
        let objective = numbers.next().ok_or("said nothing")?;
        Ok((Time::of(numbers.collect()), objective))
    }
}

impl Drop for Scipy {
    fn drop(&mut self) {
        // Nothing is lost when the system clears the folder instead.
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

/// The environment of `cargo xtask vectors`, made in the same place and in the same way.
fn python(root: &Path) -> Result<PathBuf, String> {
    let target = std::env::var("CARGO_TARGET_DIR").unwrap_or_else(|_| "target".to_owned());
    let environment = root.join(target).join("checks-venv");
    let python = environment.join("bin").join("python");
    let pins =
        std::fs::read_to_string(root.join(REQUIREMENTS)).map_err(|error| error.to_string())?;
    let installed = environment.join("requirements.txt");
    if std::fs::read_to_string(&installed).is_ok_and(|installed| installed == pins) {
        return Ok(python);
    }
    let first = "import sys; sys.exit(sys.version_info < (3, 11))";
    output(Command::new("python3").args(["-c", first]))?;
    output(Command::new("python3").args(["-m", "venv", "--clear"]).arg(&environment))?;
    let install = ["-m", "pip", "install", "--quiet", "--requirement", REQUIREMENTS];
    output(Command::new(&python).current_dir(root).args(install))?;
    std::fs::write(&installed, pins).map_err(|error| error.to_string())?;
    Ok(python)
}

fn output(command: &mut Command) -> Result<String, String> {
    let output = command.output().map_err(|error| error.to_string())?;
    if output.status.success() {
        Ok(String::from_utf8_lossy(&output.stdout).trim().to_owned())
    } else {
        let said = String::from_utf8_lossy(&output.stderr);
        Err(said.lines().last().unwrap_or("failed without a word").to_owned())
    }
}

/// The lower triangle in Matrix Market's coordinate format, which counts from one.
fn matrix_market(linear: &Linear) -> String {
    let upper = linear.upper();
    let mut text = format!(
        "%%MatrixMarket matrix coordinate real symmetric\n{0} {0} {1}\n",
        linear.n,
        upper.values.len()
    );
    for column in 0..linear.n {
        for at in upper.start[column] as usize..upper.start[column + 1] as usize {
            let row = upper.row[at];
            writeln!(text, "{} {} {:e}", column + 1, row + 1, upper.values[at])
                .expect("text grows without failing");
        }
    }
    text
}

fn lines(numbers: &[f64]) -> String {
    numbers.iter().fold(String::new(), |mut text, number| {
        writeln!(text, "{number:e}").expect("text grows without failing");
        text
    })
}
