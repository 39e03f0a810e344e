//! Broken lines: quotes, ragged rows, line ends, lengths.

use super::*;

#[test]
fn an_unclosed_quote_never_swallows_its_neighbours() {
    let mut lines: Vec<String> = sound_list(3000).lines().map(str::to_string).collect();
    lines[10] = "\"RS-1009;Griff;4,00;65".to_string();
    lines[20] = "RS-1019;\"Griff rot;4,00;65".to_string();
    lines[30] = "RS-1029;\"Haube \"\"groß\"\";\nzweite Zeile\";4,00;65".to_string();
    let found = read_bytes("a.csv", (lines.join("\n") + "\n").as_bytes());
    let account_of_lines = found.rows.len() + found.rejects.len();
    assert_eq!(account_of_lines, 3000);
    assert!(
        found.rejects.iter().all(|(line, ..)| [11, 21].contains(line)),
        "{:?}",
        found.rejects
    );
    let multi = found.rows.iter().find(|(line, _)| *line == 31).unwrap();
    assert_eq!(multi.1[1], "Haube \"groß\";\nzweite Zeile");
    assert_eq!(found.rows.last().unwrap().0, 3002);
}

#[test]
fn ragged_rows_are_mended_where_sure_and_rejected_where_not() {
    let mut text = sound_list(40);
    text.push_str("RS-3000;Griff;4,00;;65\n"); // one too many
    text.push_str("RS-3001;Griff4,00;65\n"); // one missing, its place certain
    text.push_str("RS-3002;Griff\n"); // too little to say
    text.push_str("RS-3003;Haube;9,00;70\n");
    let found = read_bytes("a.csv", text.as_bytes());
    let line = |number: u32| {
        found
            .rows
            .iter()
            .find(|(line, _)| *line == number)
            .map(|(_, row)| row.clone())
    };
    assert_eq!(line(42).unwrap(), ["RS-3000", "Griff", "4,00", "65"]);
    assert_eq!(line(43).unwrap(), ["RS-3001", "Griff", "4,00", "65"]);
    assert_eq!(
        found
            .rejects
            .iter()
            .map(|(line, problem, _)| (*line, *problem))
            .collect::<Vec<_>>(),
        [(44, Problem::TooFewCells)]
    );
    assert_eq!(line(45).unwrap(), ["RS-3003", "Haube", "9,00", "70"]);
}

#[test]
fn trailing_delimiters_cost_no_row() {
    let text = sound_list(30)
        .lines()
        .map(|line| format!("{line};;\n"))
        .collect::<String>();
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!((found.rows.len(), found.rejects.len()), (30, 0));
}

#[test]
fn mixed_line_ends_and_nul_bytes_are_borne() {
    let text = "sku;title;price\r\nA1;starter;1,00\nA2;shroud\0x;2,00\rA3;grip;3,00\r\n";
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!(
        rows_of(&found),
        [
            ["A1", "starter", "1,00"],
            ["A2", "shroud\0x", "2,00"],
            ["A3", "grip", "3,00"]
        ]
    );
    assert_eq!(found.rows.iter().map(|(line, _)| *line).collect::<Vec<_>>(), [2, 3, 4]);
}

#[test]
fn a_line_past_the_limit_is_rejected_and_names_the_limit() {
    let mut text = sound_list(5);
    text.push_str(&format!("RS-9;{};1,00;65\n", "x".repeat(3 << 20)));
    text.push_str("RS-10;Griff;1,00;65\n");
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!(found.rejects.len(), 1);
    assert_eq!((found.rejects[0].0, found.rejects[0].1), (7, Problem::LineTooLong));
    assert!(found.rejects[0].2.len() < 5000);
    assert_eq!(found.rows.last().unwrap().1[0], "RS-10");
}

#[test]
fn a_bad_byte_in_a_line_past_the_limit_spoils_no_other_line() {
    let folder = folder();
    let mut bytes = sound_list(20).into_bytes();
    bytes.extend_from_slice(b"RS-1\xFF;");
    bytes.extend(std::iter::repeat_n(b'x', 300));
    bytes.extend_from_slice(b"\nRS-2;Startergriff;3,00;60\n");
    let path = put(folder.path(), "a.csv", &bytes);
    let limits = Limits {
        line_bytes: 200,
        ..Limits::default()
    };
    for stretch in [1, 64, 256, 1 << 20] {
        let found = at_stretch(&path, stretch, &limits).unwrap();
        let problems: Vec<_> = found
            .rejects
            .iter()
            .map(|(line, problem, _)| (*line, *problem))
            .collect();
        assert_eq!(problems, [(22, Problem::LineTooLong)], "stretches of {stretch}");
        assert_eq!(found.rows.last().unwrap().0, 23);
    }
}

#[test]
fn too_many_columns_are_refused_by_name() {
    let row = |word: &str| vec![word; 20_000].join(";") + "\n";
    let failed = failure(
        "a.csv",
        (row("sku") + &row("1") + &row("2")).as_bytes(),
        &Limits::default(),
    );
    assert_eq!(failed.problem, Problem::TooManyColumns);
    assert!(failed.message.contains("`columns`"), "{}", failed.message);
}
