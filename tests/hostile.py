"""Things that nobody at a bench means, and that a text box gets all the same."""

from helpers import Tags

SQL = [
    "'; DROP TABLE batches; --",
    "1 OR 1=1",
    "2 g' OR '1'='1",
    'x"; DELETE FROM powders; --',
    "1; SELECT * FROM users",
]
PYTHON = [
    "__import__('os')", "__import__('os').system('ls')", "eval('2+2') g", "exec('a=1')", "lambda: 5",
    "(lambda f: f(f))(lambda f: f(f))", "[x for x in range(10**9)]", "().__class__.__bases__[0]", "open('notes.txt').read()",
    "2 if True else 3", "print(5)", "5 .__class__", "0x10 g", "0b11 g", "0o17 g", "1_000 g", "1e1_0 g", "5j g", "True g", "None",
    "float('inf') g", "Q(5, 'g')", "ureg.gram", "import os", "del ureg", "5; import os", "5 g # comment", "5 g\\", "f'{5}' g",
    "globals()", "globals()['Q']", "breakpoint()", "exit()", "quit()", "raise SystemExit", "assert False", "2 @ 3 g", "2 // 3 g", "7 % 3 g",
    "5 << 40 g", "~5 g", "not 5 g", "5 and 3 g", "*5 g", "**5 g", "5 = 5 g", "5 == 5 g", "5 := 5 g", "5 g; 6 g",
]  # fmt: skip
SUMS = ["9**9**9**9", "9^9^9^9", "9**9**9**9 g", "2+2", "2*2 g", "1/0 g", "0/0", "10!", "sqrt(4) g", "2^2000", "5 g + 3 g", "5 g * 3", "5 g - 3 g",
        "5 g/2", "1e999999999 g", "1e-999999999 g", "9" * 79, "-" + "9" * 78, "0." + "0" * 70 + "1 g", "1e40 g", "1e41 g", "1e-41 g", "0e41 g",
        "9e999", "1e00000000000001 g", "1e+ g", "1e- g", "1e g", "1e5e5 g", "1e5.5 g", "1E+-5 g", "2 x 100 g", "2 x 10 g", "2 x 10^ g",
        "2 x 10^999999 g", "5 x g", "10^10^10 g", "5 g^99 ", "5 g^999 g", "5 g^-99", "5 g^0", "5 g**9**9", "5 g²³", "5 g⁹⁹⁹⁹⁹⁹", "5⁹⁹⁹⁹⁹⁹"]  # fmt: skip
NOT_A_NUMBER = ["NaN", "nan g", "-nan g", "inf", "inf g", "-inf g", "+inf g", "Infinity g", "infinity", "∞ g", "-∞", "1.#INF g", "1.#QNAN", "null",
                "undefined", "N/A", "#DIV/0!", "#REF!", "=A1+B1", "five grams", "a few g", "½ g", "5½ g", "Ⅴ g", "五 g", "五克", "5 克"]  # fmt: skip
OTHER_DIGITS = ["٣ g", "٢٫٥ g", "५ g", "१२.५ g", "５ g", "２．５ g", "𝟓 g", "𝟧 g", "②  g", "⓪ g", "৫ g", "๕ g", "໕ g", "၅ g", "᠕ g", "²5 g", "5 g ₂", "₅ g", "5٣ g",
                "௫ g", "𞥕 g", "1e٣ g", "5 g^٣"]  # fmt: skip
UNSEEN = ["\u200b", "5\u200bg", "\u200b5 g", "5 g\u200b", "5\u200d g", "5\u2060g", "\ufeff5 g", "5 \u202eg", "\u202e5 g\u202c", "\u2066 5 g \u2069", "5\u00adg",
          "\x00", "5\x00g", "5 g\x00", "\x005 g", "5 \x07 g", "5\x1b[31m g", "5 \x7f g", "\x1b]0;title\x07", "5 g\x08\x08", "5\r\ng", "5\ng", "5\n6 g", "5 g\n6 g",
          "5\x0bg", "5\x0cg", "5\x1cg", "5\u2028g", "5\u2029g", "5\x85g", "\n\n\n", "\t", " " * 20, "\u3000", "5\u3000g", "5\u200eg", "\ud800 5 g", "5 \udfff g",
          "5 g\ufffd", "5 \U000e0041 g", "5 g\u0301\u0302\u0303\u0304", "5\u20e3 g", "g\u0336"]  # fmt: skip
PICTURES = ["🙂", "5 🙂", "🙂 g", "5 g 🙂", "👩‍🔬", "5️⃣ g", "🇩🇪 5 g", "⚗️", "5 µ🙂", "🧪" * 40]
MARKUP = ["<script>alert(1)</script>", "5 <script>alert(1)</script> g", "<img src=x onerror=alert(1)>", "5 <b>g</b>", "<svg/onload=alert(1)>", "&lt;5 g&gt;",
          "5&nbsp;g", "5 g<!-- -->", "<!DOCTYPE html>", "javascript:alert(1)", "{{7*7}}", "{% raw %}", "${7*7}", "#{7*7}", "$\\frac{5}{2}$ g", "\\input{notes}", "**5 g**",
          "[5 g](http://example.org)", "<?xml version='1.0'?>", "]]>", "<a href='#'>5 g</a>"]  # fmt: skip
FORMATS = [
    "%s",
    "%n%n%n",
    "%x g",
    "5 %d",
    "5 %s%s%s",
    "{}",
    "{0}",
    "{0.__class__}",
    "{value!r}",
    "5 {g}",
    "{:>999999999}",
    "%99999999d",
    "5 g {text[0]}",
    "%(name)s",
]
PATHS = ["../../secret", "..\\..\\secret", "/", "//", "C:\\", "C:\\notes.txt", "~", "~/notes", "file:///notes", "http://example.org/?q=5", "5/g/../m", "./5 g", "CON", "NUL", "$HOME",
         "`ls`", "$(ls)", "5 g | ls", "5 g && ls", "5 g > notes", "; ls"]  # fmt: skip
DEEP = ["(" * 40 + "5 g" + ")" * 37, "[" * 80, "{" * 80, "((((((((((", "5 J/(((((((g)))))))", "5 J/(g·(K·(mol)))", ")" * 30, "5 )(", "5 g)(", "()", "5 ()", "5 g/()",
        "(5 g", "5 g)", "(5) g", "(2 ± 0.1 g", "((2 ± 0.1)) g", "(±)", "(2 ± 0.1)(3 ± 0.1) g", "5 J/(g", "5 J/g)"]  # fmt: skip
HALF_TYPED = ["", " ", ".", ",", "-", "+", "±", "e", "E5", "%", "°", "°C", "g", "/", "*", "^", "·", "µ", "_", "5 /", "5 ·", "5 g/", "5 g^", "5 g**", "5 g·", "5 /g/", "5 g//L",
              "2 ±", "± 2", "2 ± g", "2 ±± 1 g", "2 ± 1 ± 1 g", "2 ± -1 g", "2 +- nan g", "--5 g", "+-5 g", "-+5 g", "5-", "5 -", "5 - g", "5.. g", ".5. g", "5,,5 g", "5. 5 g",
              "5 , 5 g", "1.2.3.4 g", "1,234,567 g", "1.234.567 g", "1,234.5 g", "1.234,5 g", "1 2 3 g", "12 345 67 g", "1'000 g", "5’5 g", "5\" g", "5' g", "5'6\"", "5 g g g g g g g"]  # fmt: skip
NOT_UNITS = ["5 Mg", "5 gg", "5 xyz", "5 parsec", "5 gramme", "5 mgg", "5 ggggggggggggggggggggggggggggggg", "5 Ω", "5 Å", "5 kelvins kelvins", "5 per", "5 per g", "5 and g", "5 ℃℃",
             "5 °K", "5 °X", "5 °°C", "5 g_", "5 __class__", "5 g.__class__", "5 degC degC", "5 °C °C", "5 °C^2", "5 %%", "5 %^6", "5 % % %", "5 dB", "5 pH", "pH 5", "5 Mol", "5 GRAM"]  # fmt: skip
# Patterns that make a careless regular expression try every way of splitting them.
LONG = [
    "1" * 80 + "x", "1" * 81, "1 " * 40, "1," * 40, "1." * 40, "1, " * 26, " ." * 40, "," * 80, "." * 80, "²" * 80, "5 g" + "²" * 77, "5 " + "g·" * 39, "5 " + "g " * 39,
    "5 " + "m/" * 39, "a" * 80 + "!", "5 " + "a" * 78, "1" * 40 + "e" * 40, "+" * 80, "-" * 80, "+-" * 40, "±" * 80, "e" * 80, "1e" * 40, "°" * 80, "deg " * 20, "1 deg" * 16,
    "° C" * 26, "5 " + "° " * 39, "µ" * 80, "x10" * 26, "1x10^" * 16, "(" * 80, "(" + "1" * 78 + ")", "5" + " " * 78 + "g", "1" * 100 + "g", "1 000 " * 13 + "g", "0" * 78 + " g",
    "5 g" + "." * 77, "5 g" + "·" * 77, "5 " + "%" * 78, "5 " + "_" * 78, "\u200b" * 80, "🧪" * 80, "A" * 79 + "1",
]  # fmt: skip

HOSTILE = tuple(
    dict.fromkeys(
        SQL
        + PYTHON
        + SUMS
        + NOT_A_NUMBER
        + OTHER_DIGITS
        + UNSEEN
        + PICTURES
        + MARKUP
        + FORMATS
        + PATHS
        + DEEP
        + HALF_TYPED
        + NOT_UNITS
        + LONG
    )
)

# Repeated up to a million characters; the answer must not take longer for it.
GROWING = (
    "1",
    "1 ",
    "1,",
    "1.",
    "²",
    "5²",
    " ",
    "\n",
    "g",
    "5 g ",
    "g/",
    "(",
    "± ",
    "e",
    "deg ",
    "° ",
    "x10^",
    "µ",
    "٣",
    "\u200b",
    "🧪",
    "<b>",
    "'",
    "\\",
    "{}",
    "%s",
    "1e",
    "+-",
    "A1",
)


def assert_calm(panel, name, texts=None):
    """Type hostile texts into a box of a panel: no trouble of our own, the text stays, and none of it becomes markup."""
    texts, control = HOSTILE if texts is None else texts, panel.controls[name]
    assert len(HOSTILE) >= 300 and len(texts) >= 100
    for text in texts:
        control.box.value = text
        assert panel.trouble is None, text
        assert control.box.value == text
        shown = control.message.value + "".join(panel.parts[part].value for part in ("said", "rows", "caution"))
        assert Tags(shown).tags <= {"div", "small", "table", "tr", "th", "td", "b", "br"}, text
