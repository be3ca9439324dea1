"""Small files in the layouts that are published, for the tests of the readers.

The foods are invented, except in RELEASE_28, whose figures are those of the USDA National Nutrient
Database, release 28 (public domain): they are what counts are checked against.
"""

from pathlib import Path

RELEASE_28 = (
    # number, name, carbohydrate and fibre per 100 g; (amount, measure, grams)
    ("01077", "Milk, whole, 3.25% milkfat, with added vitamin D", "4.80", "0.0",
     (("1", "cup", "244"), ("1", "fl oz", "30.5"), ("1", "tbsp", "15"))),
    ("18069", "Bread, white, commercially prepared (includes soft bread crumbs)", "49.42", "2.7",
     (("1", "slice", "29"), ("1", "slice", "25"), ("1", "slice, large", "30"),
      ("1", "slice, thin", "20"))),
    ("18075", "Bread, whole-wheat, commercially prepared", "42.71", "6.0", (("1", "slice", "32"),)),
    ("09003", "Apples, raw, with skin", "13.81", "2.4",
     (("1", "cup, quartered or chopped", "125"), ("1", "cup slices", "109"),
      ("1", 'large (3-1/4" dia)', "223"), ("1", 'medium (3" dia)', "182"),
      ("1", 'small (2-3/4" dia)', "149"))),
    ("09040", "Bananas, raw", "22.84", "2.6",
     (("1", "cup, mashed", "225"), ("1", "cup, sliced", "150"),
      ("1", 'small (6" to 6-7/8" long)', "101"), ("1", 'medium (7" to 7-7/8" long)', "118"),
      ("1", 'large (8" to 8-7/8" long)', "136"))),
    ("09200", "Oranges, raw, all commercial varieties", "11.75", "2.4",
     (("1", "cup, sections", "180"), ("1", 'fruit (2-5/8" dia)', "131"))),
    ("09206", "Orange juice, raw", "10.40", "0.2", (("1", "cup", "248"), ("1", "fl oz", "31.0"),
                                                    ("1", "fruit yields", "86"))),
    ("20045", "Rice, white, long-grain, regular, enriched, cooked", "28.17", "0.4",
     (("1", "cup", "158"),)),
    ("08120", "Cereals, oats, regular and quick, not fortified, dry", "67.70", "10.1",
     (("1", "cup", "81"), (".333", "cup", "27"))),
    ("11282", "Onions, raw", "9.34", "1.7",
     (("1", "cup, chopped", "160"), ("1", "cup, sliced", "115"), ("1", "tbsp chopped", "10.0"),
      ("1", 'slice, large (1/4" thick)', "38"), ("1", "slice, thin", "9.0"),
      ("1", 'medium (2-1/2" dia)', "110"), ("10", "rings", "60"))),
    ("11352", "Potatoes, flesh and skin, raw", "17.49", "2.1",
     ((".5", "cup, diced", "75"), ("1", 'Potato medium (2-1/4" to 3-1/4" dia)', "213"))),
    ("19296", "Honey", "82.40", "0.2", (("1", "cup", "339"), ("1", "tbsp", "21"),
                                        ("1", "packet (0.5 oz)", "14.0"))),
)  # fmt: skip

UNITS_28 = (
    "~203~^~g~^~PROCNT~^~Protein~^~2~^~600~",
    "~205~^~g~^~CHOCDF~^~Carbohydrate, by difference~^~2~^~1100~",
    "~291~^~g~^~FIBTG~^~Fiber, total dietary~^~1~^~1200~",
    "~307~^~mg~^~NA~^~Sodium, Na~^~0~^~5800~",
)


def release_28(folder: Path, foods=RELEASE_28, units=UNITS_28) -> Path:
    """The text files with carets, with the line ends and the stray returns of the release."""
    folder.mkdir(exist_ok=True)
    names, figures, weights = [], [], []
    for number, name, carbohydrate, fibre, portions in foods:
        names.append(f"~{number}~^~0100~^~{name}~^~X~^~~^~~^~Y~^~~^0^~~^6.38^4.27^8.79^3.87")
        for nutrient, value in (("205", carbohydrate), ("291", fibre)):
            if value:
                figures.append(f"~{number}~^~{nutrient}~^{value}^1^^~1~")
        for place, (amount, measure, grams) in enumerate(portions, 1):
            weights.append(f"~{number}~^{place}^{amount}^~{measure}~^{grams}^\r^")
    for file, lines in (
        ("FOOD_DES.txt", names),
        ("NUT_DATA.txt", figures),
        ("WEIGHT.txt", weights),
        ("NUTR_DEF.txt", list(units)),
    ):
        (folder / file).write_bytes("".join(f"{line}\r\n" for line in lines).encode("latin-1"))
    return folder


def quoted(*rows: tuple) -> str:
    """Rows as CSV with every field quoted."""
    doubled = ([str(cell).replace('"', '""') for cell in row] for row in rows)
    return "".join(",".join(f'"{cell}"' for cell in row) + "\n" for row in doubled)


NUTRIENTS = (
    ("id", "name", "unit_name", "nutrient_nbr", "rank"),
    ("1003", "Protein", "G", "203", "600.0"),
    ("1005", "Carbohydrate, by difference", "G", "205", "1110.0"),
    ("1050", "Carbohydrate, by summation", "G", "205.2", "1120.0"),
    ("1079", "Fiber, total dietary", "G", "291", "1200.0"),
    ("2033", "Total dietary fiber (AOAC 2011.25)", "G", "293", "1300.0"),
    ("1093", "Sodium, Na", "MG", "307", "5800.0"),
)
FOODS = (
    ("fdc_id", "data_type", "description", "food_category_id", "publication_date"),
    ("1", "sr_legacy_food", "Plum, mill", "9", "2019-04-01"),
    ("2", "survey_fndds_food", "Porridge, mill", "1002", "2024-10-31"),
    ("3", "foundation_food", "Meal, mill", "20", "2024-04-18"),
    ("4", "sample_food", "Meal, mill, sample", "20", "2024-04-18"),
    ("5", "branded_food", "OAT BAR", "Bars", "2020-01-01"),
    ("6", "branded_food", "OAT BAR", "Bars", "2024-06-01"),
    ("7", "branded_food", "OAT DRINK", "Drinks", "2024-06-01"),
    ("8", "foundation_food", "Seeds, mill", "20", "2024-04-18"),
    ("9", "branded_food", "BERRY CRISP", "Bars", "2024-06-01"),
    ("10", "foundation_food", "Nothing stated", "20", "2024-04-18"),
)
AMOUNTS = (
    ("id", "fdc_id", "nutrient_id", "amount", "data_points", "derivation_id"),
    ("1", "1", "1005", "11.4", "", ""),
    ("2", "1", "1079", "1.4", "", ""),
    ("3", "2", "205", "12.0", "", ""),
    ("4", "2", "291", "1.7", "", ""),
    ("5", "3", "1005", "70.25", "", ""),
    ("6", "3", "2033", "9.5", "", ""),
    ("7", "4", "1005", "99.0", "", ""),
    ("8", "5", "1005", "60.0", "", ""),
    ("9", "6", "1005", "62.5", "", ""),
    ("10", "6", "1079", "7.5", "", ""),
    ("11", "7", "1005", "6.7", "", ""),
    ("12", "8", "1050", "20.0", "", ""),
    ("13", "9", "1005", "70.0", "", ""),
    ("14", "10", "1003", "7.0", "", ""),
)
PORTIONS = (
    ("id", "fdc_id", "seq_num", "amount", "measure_unit_id", "portion_description", "modifier",
     "gram_weight", "data_points"),
    ("1", "1", "1", "1.0", "9999", "", "cup, sliced", "165.0", ""),
    ("2", "1", "2", "1.0", "9999", "", 'fruit (2-1/8" dia)', "66.0", ""),
    ("3", "2", "1", "", "9999", "1 cup, cooked", "10205", "240.0", ""),
    ("4", "2", "2", "", "9999", "Quantity not specified", "90000", "240.0", ""),
    ("5", "3", "1", "2.0", "1001", "", "", "33.9", ""),
)  # fmt: skip
BRANDED = (
    ("fdc_id", "brand_owner", "brand_name", "gtin_upc", "serving_size", "serving_size_unit",
     "household_serving_fulltext", "market_country"),
    ("5", "Hillmoor Mill", "HILLMOOR MILL", "2100000000012", "40.0", "g", "1 BAR", "United States"),
    ("6", "Hillmoor Mill", "HILLMOOR MILL", "02100000000012", "40.0", "g", "1 BAR",
     "United States"),
    ("7", "Hillmoor Mill", "HILLMOOR MILL", "2001234567893", "240.0", "ml", "1 cup",
     "United States"),
    ("9", "Hillmoor Mill", "HILLMOOR MILL", "2001234567890", "30.0", "g", "0.5 cup",
     "United States"),
)  # fmt: skip
CODES = {
    "sr_legacy_food.csv": (("fdc_id", "NDB_number"), ("1", "9279")),
    "survey_fndds_food.csv": (("fdc_id", "food_code"), ("2", "56200000")),
    "foundation_food.csv": (("fdc_id", "NDB_number"), ("3", "20001")),
    "measure_unit.csv": (("id", "name"), ("1000", "cup"), ("1001", "tablespoon"),
                         ("9999", "undetermined")),
}  # fmt: skip


def central(folder: Path, **instead: tuple) -> Path:
    """The folder of CSV files; a file can be given other rows: central(folder, nutrient=rows)."""
    folder.mkdir(exist_ok=True)
    files = {
        "nutrient.csv": NUTRIENTS,
        "food.csv": FOODS,
        "food_nutrient.csv": AMOUNTS,
        "food_portion.csv": PORTIONS,
        "branded_food.csv": BRANDED,
        **CODES,
    }
    for file, plain in files.items():
        rows = instead.get(file.removesuffix(".csv"), plain)
        (folder / file).write_text(quoted(*rows), encoding="utf-8")
    return folder
