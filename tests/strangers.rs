//! Four lists as strangers send them, each with ways of its own: an accounting workbook with two header rows and two
//! currencies, a print-out of pages, prices by the dozen in UTF-16, and a matrix of engines with marks. All names, numbers
//! and codes are invented.

use crate::helpers::write;
use rust_xlsxwriter::{Format, Workbook};
use std::fmt::Write as _;
use std::path::Path;

/// What was written into a row that is a part.
pub struct Part {
    pub sku: String,
    pub kind: &'static str,
    pub engine: &'static str,
    pub circle: Option<f64>,
    /// For one piece.
    pub price: f64,
    pub currency: &'static str,
}

/// An engine with the bolt circles of its starter and of its shroud.
const ENGINES: [(&str, f64, f64); 4] = [
    ("152F", 92.0, 131.0),
    ("168F", 118.0, 172.0),
    ("188F", 165.0, 226.0),
    ("1P70F", 121.0, 168.0),
];

const KINDS: [&str; 4] = ["recoil-starter", "recoil-starter", "shroud", "assembly"];

/// The part of a row, and whether the row states its circle.
fn part(prefix: &str, row: usize, currency: &'static str) -> (Part, bool) {
    let (engine, starter, shroud) = ENGINES[row % 4];
    let kind = KINDS[row / 2 % 4];
    let states = !row.is_multiple_of(3);
    let circle = if kind == "recoil-starter" { starter } else { shroud };
    let part = Part {
        sku: format!("{prefix}{}", 4100 + row * 37),
        kind,
        engine,
        circle: states.then_some(circle),
        price: 6.25 + row as f64 * 0.5,
        currency,
    };
    (part, states)
}

fn words(kind: &str, names: [&'static str; 3]) -> &'static str {
    match kind {
        "recoil-starter" => names[0],
        "shroud" => names[1],
        _ => names[2],
    }
}

fn shown(circle: Option<f64>) -> String {
    circle.map_or_else(String::new, |mm| format!("{mm:.0}"))
}

/// Portuguese, from an accounting program: titles, two rows of headings, sections, sums, two currencies, a sheet of terms.
pub fn workbook(folder: &Path) -> Vec<Part> {
    let names = [
        "Arranque retrátil",
        "Carcaça da ventoinha",
        "Carcaça da ventoinha com arranque",
    ];
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Artigos").unwrap();
    sheet.write(0, 0, "Quintavento & Filhas, Lda").unwrap();
    sheet
        .write(1, 0, "Tabela de preços 2026/2 - preços líquidos, IVA não incluído")
        .unwrap();
    sheet.write(3, 3, "Aplicação").unwrap();
    sheet.write(3, 4, "Fixação").unwrap();
    let groups = [(0, 2, "Artigo"), (5, 6, "Preços")];
    for (first, last, name) in groups {
        sheet.merge_range(3, first, 3, last, name, &Format::new()).unwrap();
    }
    let header = [
        "Código",
        "Descrição",
        "Ref. fabricante",
        "Motor",
        "Ø furação (mm)",
        "EUR / un.",
        "USD / un.",
    ];
    sheet.write_row(4, 0, header).unwrap();
    let mut parts = Vec::new();
    let mut line = 5;
    for section in ["ARRANQUES RETRÁTEIS", "CARCAÇAS E VENTOINHAS"] {
        sheet.write(line, 0, section).unwrap();
        line += 1;
        let (mut sum, first) = (0.0, parts.len());
        for row in first..first + 12 {
            let (own, _) = part("QV", row, "EUR");
            sheet.write(line, 0, own.sku.as_str()).unwrap();
            sheet
                .write(line, 1, format!("{} para {}", words(own.kind, names), own.engine))
                .unwrap();
            sheet
                .write(line, 2, format!("VNT-{row}5-284 / ZRP-{row}7-331"))
                .unwrap();
            sheet.write(line, 3, own.engine).unwrap();
            if let Some(circle) = own.circle {
                sheet.write(line, 4, circle).unwrap();
            }
            // one row is priced in dollars alone
            if row == 5 {
                sheet.write(line, 6, own.price).unwrap();
            } else {
                sheet.write(line, 5, own.price).unwrap();
                sheet.write(line, 6, own.price * 1.25).unwrap();
            }
            sum += own.price;
            let currency = if row == 5 { "USD" } else { "EUR" };
            parts.push(Part { currency, ..own });
            line += 1;
        }
        sheet.write(line, 1, format!("Subtotal {section}")).unwrap();
        sheet.write(line, 5, sum).unwrap();
        line += 1;
    }
    let terms = book.add_worksheet();
    terms.set_name("Condições").unwrap();
    terms.write(0, 0, "Condições gerais de venda").unwrap();
    terms.write(1, 0, "Pagamento a 30 dias da data da factura.").unwrap();
    book.save(folder.join("quintavento.xlsx")).unwrap();
    parts
}

/// English, printed: aligned columns, pages with their own lines, sums carried forward, holes in inches.
pub fn print_out(folder: &Path) -> Vec<Part> {
    let names = ["Recoil starter", "Fan shroud, black", "Fan shroud with recoil starter"];
    let mut page = String::new();
    let mut parts: Vec<Part> = Vec::new();
    for number in 0..3 {
        let feed = if number > 0 { "\u{c}" } else { "" };
        let _ = write!(
            page,
            "{feed}HARROWMILL PARTS COUNTER              TRADE PRICES          PAGE {}\r\n",
            number + 1
        );
        page.push_str("All prices per piece, pounds sterling, excluding VAT\r\n\r\n");
        page.push_str(
            "STOCK NO   DESCRIPTION                              ENGINE    HOLE CENTRES (IN)  PRICE GBP  QTY\r\n",
        );
        page.push_str(
            "---------- ---------------------------------------- --------- ----------------- ---------- ----\r\n",
        );
        if number > 0 {
            page.push_str("                                           BROUGHT FORWARD                     212.40\r\n");
        }
        for row in 0..14 {
            let (own, _) = part("HM", parts.len(), "GBP");
            let inches = if own.kind == "recoil-starter" && row % 2 == 0 {
                "3 5/8"
            } else {
                ""
            };
            let _ = write!(
                page,
                "{:<10} {:<40} {:<9} {inches:<17} {:>10.2} {:>4}\r\n",
                own.sku,
                words(own.kind, names),
                own.engine,
                own.price,
                row * 3
            );
            parts.push(Part { circle: None, ..own });
        }
        if number < 2 {
            page.push_str("                                           CARRIED FORWARD                     212.40\r\n");
        }
    }
    write(folder, "harrowmill.txt", page);
    parts
}

/// Turkish beside English, UTF-16 with tabs, decimal commas, prices for a dozen, several numbers replaced in a cell.
pub fn by_the_dozen(folder: &Path) -> Vec<Part> {
    let names = [
        "Çekmeli Start / Recoil Starter",
        "Fan Muhafazası / Fan Shroud",
        "Fan Shroud with Recoil Starter",
    ];
    let mut list = String::from("TULUNÇAY MOTOR YEDEK PARÇA\t\tFİYAT LİSTESİ 2026-10\r\n");
    list.push_str("Fiyatlar düzine başına, KDV hariç, EUR / Prices per dozen, VAT excluded, EUR\r\n\r\n");
    list.push_str("Stok Kodu / Item No\tÜrün Adı / Description\tUyumlu Motor / Engine\tDelik Ekseni mm / PCD\t");
    list.push_str("OEM No\tDüzine Fiyatı / Price per dozen\r\n");
    let mut parts = Vec::new();
    for row in 0..24 {
        let (own, _) = part("TLN.", row, "EUR");
        let dozen = format!("{:.2}", own.price * 12.0).replace('.', ",");
        let _ = write!(
            list,
            "{}\t{}\t{}\t{}\tKVR-{row}8-559, KVR-{row}9-301\t{dozen}\r\n",
            own.sku,
            words(own.kind, names),
            own.engine,
            shown(own.circle)
        );
        parts.push(own);
    }
    let mut bytes = vec![0xFF, 0xFE];
    bytes.extend(list.encode_utf16().flat_map(u16::to_le_bytes));
    write(folder, "tulunçay.txt", bytes);
    parts
}

/// Swedish, Windows-1252: a column to each engine, marked with X, the header again further down.
pub fn matrix(folder: &Path) -> Vec<Part> {
    let names = ["Snörstart", "Fläktkåpa", "Fläktkåpa med startapparat"];
    let header = "Art.nr;Benämning;Hålcirkel mm;152F;168F;188F;1P70F;Pris exkl. moms SEK\r\n";
    let mut list = format!("Sollgrens Motordelar AB - passningsmatris, X = passar\r\n{header}");
    let mut parts = Vec::new();
    for row in 0..24 {
        if row == 12 {
            list.push_str(header);
        }
        let (own, _) = part("SG ", row, "SEK");
        let marks: Vec<&str> = ENGINES
            .iter()
            .map(|(engine, ..)| if *engine == own.engine { "X" } else { "" })
            .collect();
        let price = format!("{:.2}", own.price).replace('.', ",");
        let circle = shown(own.circle);
        let _ = write!(
            list,
            "{};{};{circle};{};{price}\r\n",
            own.sku,
            words(own.kind, names),
            marks.join(";")
        );
        parts.push(own);
    }
    // every letter of it stands in Latin 1
    let bytes: Vec<u8> = list
        .chars()
        .map(|letter| u8::try_from(u32::from(letter)).unwrap())
        .collect();
    write(folder, "sollgren.csv", bytes);
    parts
}
