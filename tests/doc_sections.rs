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
    /// A free function is a formula. A method is a step or a view of a larger solver, whose type and module carry the
    /// theory; it owes a purpose and, if it can fail, its errors.
    fn wanted(&self) -> Vec<&'static str> {
        let fallible = self.signature.contains("Result<");
        let of_formula = SECTIONS
            .into_iter()
            .filter(|s| *s == "# Errors" || !self.is_method);
        of_formula
            .filter(|s| *s != "# Errors" || fallible)
            .collect()
    }

    /// What is missing or out of place in its documentation. A method may carry more sections than it owes.
    fn faults(&self) -> Vec<String> {
        let wanted = self.wanted();
        let owed = |l: &&str| is_heading(l) && (!self.is_method || wanted.contains(l));
        let headings: Vec<&str> = self.doc.iter().map(String::as_str).filter(owed).collect();
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
        if !self.is_method {
            faults.extend(self.section_fault("# Equation", "```text"));
            faults.extend(self.section_fault("# Example", "```rust"));
            faults.extend(self.section_fault("# Example", "assert"));
        }
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

#[test]
fn every_formula_of_mechanics_has_all_its_sections_in_order() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/mechanics");
    let mut formulas = 0;
    let mut faults = Vec::new();
    for file in rust_files(&root) {
        for function in public_functions(&fs::read_to_string(&file).unwrap()) {
            formulas += usize::from(!function.is_method);
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
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(
        formulas > 40,
        "only {formulas} formulas were found: the test has lost its way"
    );
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
fn a_method_owes_its_purpose_and_its_errors() {
    let method =
        |doc: &str, signature: &str| format!("impl T {{\n{doc}    {signature} {{\n    }}\n}}\n");
    let (view, step) = (
        "pub fn top(&self) -> f64",
        "pub fn solve(\n        &self,\n    ) -> Result<f64, E>",
    );
    let (purpose, errors) = (
        "    /// Doc.\n",
        "    /// Doc.\n    ///\n    /// # Errors\n    ///\n    /// Never.\n",
    );
    assert_eq!(faults_of(&method(purpose, view)), Vec::<String>::new());
    assert_eq!(faults_of(&method(errors, step)), Vec::<String>::new());
    assert!(
        !faults_of(&method(purpose, step)).is_empty() && !faults_of(&method("", view)).is_empty()
    );
}
