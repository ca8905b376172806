"""Makes kitchen.fods: what keepers do in a spreadsheet, as a flat OpenDocument text."""

HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n<office:document '
    + " ".join(
        f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{long}:1.0"'
        for short, long in (
            ("office", "office"),
            ("table", "table"),
            ("text", "text"),
            ("style", "style"),
            ("number", "datastyle"),
        )
    )
    + ' xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2"'
    ' office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.spreadsheet">'
    '<office:automatic-styles><number:date-style style:name="N1"><number:year number:style="long"/>'
    '<number:text>-</number:text><number:month number:style="long"/><number:text>-</number:text>'
    '<number:day number:style="long"/></number:date-style>'
    '<style:style style:name="day" style:family="table-cell" style:data-style-name="N1"/>'
    "</office:automatic-styles><office:body><office:spreadsheet>"
    '<table:table table:name="Diet sheets">'
)


def text(value: str, down: int = 1) -> str:
    merged = f' table:number-rows-spanned="{down}" table:number-columns-spanned="1"'
    said = f"<text:p>{value}</text:p>" if value else ""
    kind = ' office:value-type="string"' if value else ""
    return f"<table:table-cell{kind}{merged if down > 1 else ''}>{said}</table:table-cell>"


COVERED = "<table:covered-table-cell/>"


def day(value: str) -> str:
    return (
        '<table:table-cell table:style-name="day" office:value-type="date" '
        f'office:date-value="{value}"/>'
    )


def formula(said: str, value: str) -> str:
    return (
        f'<table:table-cell table:formula="of:={said}" office:value-type="float" '
        f'office:value="{value}"/>'
    )


def row(*cells: str, hidden: bool = False) -> str:
    hide = ' table:visibility="collapse"' if hidden else ""
    return f"<table:table-row{hide}>{''.join(cells)}</table:table-row>"


def document(hidden: bool) -> str:
    """The sheet, with its last row hidden or not."""
    titles = ("Group", "From", "Reason", "Meal", "Food", "Amount", "Unit")
    rows = (
        row(*map(text, titles)),
        row(
            text("tapir", 3),
            day("2026-10-01"),
            text("winter"),
            text("morning feed", 2),
            text("hay"),
            formula("0.5+1", "1.5"),
            text("kg per animal"),
        ),
        row(COVERED, day("2026-10-01"), text(""), COVERED, text("carrot"), text("45 g per animal")),
        row(
            COVERED,
            day("2026-10-01"),
            text(""),
            text("evening feed"),
            text("hay"),
            text("2 kg per animal"),
            hidden=hidden,
        ),
    )
    end = "</table:table></office:spreadsheet></office:body></office:document>"
    return HEAD + "".join(rows) + end
