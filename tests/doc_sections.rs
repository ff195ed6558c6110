//! Every public formula of `mechanics` is documented in the same sections, in the same order.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};

/// The sections of a formula, in their order; `# Errors` is asked for only where the function returns a `Result`.
const SECTIONS: [&str; 6] = [
    "# Equation",
    "# Symbols",
    "# Validity",
    "# Source",
    "# Errors",
    "# Example",
];

/// A public function as its source file shows it.
struct Function {
    name: String,
    signature: String,
    doc: Vec<String>,
    is_method: bool,
}

impl Function {
    /// A free function is a formula, and so is a method that computes something that can fail. What is left are
    /// constructors of a type and plain views of one, such as `contains` or `governing`.
    fn is_formula(&self) -> bool {
        let fallible =
            self.signature.contains("Result<") && !self.signature.contains("Result<Self");
        !self.is_method || fallible
    }

    /// What is missing or out of place in its documentation.
    fn faults(&self) -> Vec<String> {
        let headings: Vec<&str> = self
            .doc
            .iter()
            .map(String::as_str)
            .filter(|l| is_heading(l))
            .collect();
        let fallible = self.signature.contains("Result<");
        let wanted: Vec<&str> = SECTIONS
            .into_iter()
            .filter(|s| *s != "# Errors" || fallible)
            .collect();
        let mut faults = Vec::new();
        if headings != wanted {
            faults.push(format!("sections are {headings:?}, not {wanted:?}"));
        }
        if self
            .doc
            .first()
            .is_none_or(|l| l.is_empty() || is_heading(l))
        {
            faults.push("no purpose sentence".into());
        }
        faults.extend(self.section_fault("# Equation", "```text"));
        faults.extend(self.section_fault("# Example", "```rust"));
        faults.extend(self.section_fault("# Example", "assert"));
        faults.extend(
            wanted
                .iter()
                .filter_map(|heading| self.section_fault(heading, "")),
        );
        faults
    }

    /// A fault, unless the section has a line of text that holds `content`.
    fn section_fault(&self, heading: &str, content: &str) -> Option<String> {
        let after = self.doc.iter().skip_while(|l| *l != heading).skip(1);
        let mut section = after
            .take_while(|l| !is_heading(l))
            .filter(|l| !l.is_empty());
        (!section.any(|l| l.contains(content))).then(|| format!("{heading} lacks {content:?}"))
    }
}

/// Whether a line of documentation is a heading; `# Ok::<…>` in an example is not one.
fn is_heading(line: &str) -> bool {
    line.strip_prefix("# ")
        .is_some_and(|title| title.chars().all(char::is_alphanumeric))
}

/// The public functions of a source file, each with the doc comment above it.
fn public_functions(source: &str) -> Vec<Function> {
    let mut functions = Vec::new();
    let mut doc = Vec::new();
    let mut lines = source.lines();
    while let Some(line) = lines.next() {
        let code = line.trim_start();
        if let Some(text) = code.strip_prefix("///") {
            doc.push(text.strip_prefix(' ').unwrap_or(text).to_owned());
        } else if let Some(rest) = code
            .strip_prefix("pub fn ")
            .or_else(|| code.strip_prefix("pub const fn "))
        {
            let name = rest.split(['(', '<']).next().unwrap().to_owned();
            let mut signature = code.to_owned();
            while !signature.contains('{') {
                signature.push_str(lines.next().expect("a function has a body"));
            }
            functions.push(Function {
                name,
                signature,
                doc: std::mem::take(&mut doc),
                is_method: code != line,
            });
        } else if !code.starts_with("#[") {
            doc.clear();
        }
    }
    functions
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(rust_files(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The solvers: their methods set up, solve and read a model whose theory stands in the module's own documentation.
fn is_solver(file: &Path) -> bool {
    ["foundation", "mechanism", "pushover"]
        .iter()
        .any(|solver| file.starts_with(solver))
}

#[test]
fn every_formula_of_mechanics_has_all_its_sections_in_order() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/mechanics");
    let mut formulas = 0;
    let mut faults = Vec::new();
    for file in rust_files(&root) {
        for function in public_functions(&fs::read_to_string(&file).unwrap()) {
            let of_solver = function.is_method && is_solver(file.strip_prefix(&root).unwrap());
            if function.is_formula() && !of_solver {
                formulas += 1;
                let place = format!(
                    "{}: {}",
                    file.strip_prefix(&root).unwrap().display(),
                    function.name
                );
                faults.extend(
                    function
                        .faults()
                        .into_iter()
                        .map(|fault| format!("{place}: {fault}")),
                );
            }
        }
    }
    assert!(
        formulas > 40,
        "only {formulas} formulas were found: the test has lost its way"
    );
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// A well-documented formula, for the tests of the test.
const GOOD: &str = "\
/// Area of a square.
///
/// # Equation
///
/// ```text
/// A = a²
/// ```
///
/// # Symbols
///
/// - `a`: side
///
/// # Validity
///
/// Any.
///
/// # Source
///
/// Geometry.
///
/// # Example
///
/// ```rust
/// assert_eq!(area(2.0), 4.0);
/// # Ok::<(), ()>(())
/// ```
#[inline]
pub fn area(a: f64) -> f64 {
    a * a
}
";

fn faults_of(source: &str) -> Vec<String> {
    let functions = public_functions(source);
    assert_eq!(functions.len(), 1);
    functions.iter().flat_map(Function::faults).collect()
}

#[test]
fn a_complete_formula_has_no_fault_and_each_omission_has_one() {
    assert_eq!(faults_of(GOOD), Vec::<String>::new());
    for missing in [
        "# Equation",
        "# Symbols",
        "# Validity",
        "# Source",
        "# Example",
        "assert",
        "```text",
    ] {
        assert!(
            !faults_of(&GOOD.replace(missing, "gone")).is_empty(),
            "{missing}"
        );
    }
    for (what, changed) in [
        (
            "a fallible one without # Errors",
            GOOD.replace("-> f64", "-> Result<f64, E>"),
        ),
        (
            "no purpose sentence",
            GOOD.replace("/// Area of a square.\n///\n", ""),
        ),
        ("an empty section", GOOD.replace("/// Geometry.\n", "")),
        (
            "order",
            GOOD.replace("# Source", "# X")
                .replace("# Validity", "# Source")
                .replace("# X", "# Validity"),
        ),
        (
            "no documentation",
            GOOD.lines()
                .filter(|l| !l.starts_with("///"))
                .collect::<Vec<_>>()
                .join("\n"),
        ),
    ] {
        assert!(!faults_of(&changed).is_empty(), "{what}");
    }
}

#[test]
fn views_of_a_type_are_no_formulas_but_fallible_methods_are() {
    let method =
        |signature: &str| format!("impl T {{\n    /// Doc.\n    {signature} {{\n    }}\n}}\n");
    let is_formula = |signature: &str| public_functions(&method(signature))[0].is_formula();
    assert!(!is_formula("pub fn contains(&self, value: f64) -> bool"));
    assert!(!is_formula("pub fn new(value: f64) -> Result<Self, E>"));
    assert!(is_formula("pub fn capacity(&self) -> Result<Force, E>"));
}
