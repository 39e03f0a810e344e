//! The pattern that the names of a supplier's later files will match too.

/// The file's name with its runs of digits, and what stands between them, as `*`.
pub(super) fn pattern_of(file: &str) -> String {
    let name = file.split("!/").next().unwrap_or(file);
    let name = name.rsplit('/').next().unwrap_or(name);
    let (stem, extension) = match name.find('.') {
        Some(place) if place > 0 => name.split_at(place),
        _ => (name, ""),
    };
    let mut pattern = String::new();
    for letter in stem.chars() {
        let gap = letter.is_ascii_digit() || matches!(letter, '*' | '?');
        let joins = matches!(letter, '-' | '_' | '.' | ' ') && pattern.ends_with('*');
        if !(gap || joins) {
            pattern.push(letter);
        } else if !pattern.ends_with('*') {
            pattern.push('*');
        }
    }
    if pattern.trim_matches(['*', '-', '_', ' ']).is_empty() {
        name.to_string()
    } else {
        format!("{pattern}{extension}")
    }
}
