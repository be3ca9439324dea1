"""What is said about imported foods, their sources and their measures; see texts.py."""

from collections.abc import Mapping

IMPORT_TEXTS: Mapping[str, str] = {
    # Measures of a source
    "step-source": "{times} {words} is {into}, as its source says.",
    "food-measure-source": "{count} {words} is {amount}, as its source says.",
    "choice-source-measure": "{text}: {count} is {amount}.",
    "ask-which-measure": "{item}: which measure of {food} is meant? These have different weights.",
    "ask-which-measure-of-many": "{item}: which measure of {food} is meant? These have different weights. "
    "Its source knows {count} more, not listed here. You can also type the grams.",
    "ask-this-measure": "{item}: the source of {food} knows only this measure. Is it what you mean? Else "
    "type the grams.",
    "ask-no-serving": "You count fibre over 5 grams in a serving as half. The table that {food} is from "
    "states no serving, so that cannot be worked out. Choose another way to count, or use its label.",
    # Which food
    "choice-name-of": "{food}, from {source}, number {id}.",
    "ask-which-food": "Several foods are called {said}. Which one is meant?",
    "no-foods-holding": "No food has {said} in its name.",
    "foods-holding": "{count} with {said} in the name.",
    "foods-holding-first": "The first {count} with {said} in the name. Add a word to see fewer.",
    "barcode-is": "Barcode {digits} is {food}.",
    "help-labels-9": 'Imported foods: "show all breads", "barcode 2001234567893", and amounts as their '
    'source has them, such as "1 cup chopped onion".',
    # Where a food is from
    "food-source": "It is from {source}.",
    "food-dated": "Its date there is {day}.",
    "food-licence": "Terms: {licence}.",
    # The command
    "shell-cmd-foods": "brings in foods from open data, writes out your own, tells the sources",
    "shell-arg-foods-import": "brings in the foods of a file, a folder or an archive",
    "shell-arg-foods-export": "writes your own foods to a new file, or to standard output",
    "shell-arg-foods-sources": "where the imported foods are from",
    "shell-arg-foods-file": "the file or folder",
    "shell-foods-usage": "foods takes one of: import and a file or folder; export, with a file or without; "
    'sources. Type "countaloud help foods" for help.',
    "shell-foods-unreadable": "{path} could not be read: {why}. Nothing was changed.",
    "shell-foods-unknown": "{path} has no layout that is known, so nothing was read. The known ones are: "
    '{known}. "countaloud help imports" tells the plain formats.',
    "shell-foods-several": "{path} fits several layouts, so nothing was read: {known}. Name one file.",
    "shell-foods-mixed": "{path} holds tables of several kinds, so nothing was read: {kinds}. Put the files "
    "of each kind in a folder of their own and name that. A kind of one file can be named by itself.",
    "shell-foods-kind": "{count} of {layout} ({files})",
    "shell-foods-kind-whole": "files of {layout}",
    "shell-foods-and-more": "{files} and {count} more",
    "shell-foods-one-by-one": "{path} holds tables that are read one at a time ({layout}), so nothing was "
    "read. Name one of them: {files}.",
    "shell-foods-doubled": "{path} holds several files of one name, so nothing was read: {files}. Give each "
    "download a folder or an archive of its own.",
    "shell-foods-cut-off": "it is cut off or damaged",
    "shell-foods-stopped": "The import was stopped. The imported foods are as they were. To go on, begin it "
    "again.",
    "shell-foods-replaced": "The imported foods that were there could not be read, so they are gone: import "
    "their files again too. The file that could not be read is kept as {file}.",
    "shell-foods-without-figures": "Not written, since they have no figures of their own: {names}. Say them "
    "again where you import the others.",
    "shell-foods-a-recipe": "the recipe {name}",
    "shell-foods-an-estimate": "the estimate {name}",
    "shell-one-food": "{count} food",
    "shell-many-foods": "{count} foods",
    "shell-one-row": "{count} row",
    "shell-many-rows": "{count} rows",
    "shell-one-note": "{count} note",
    "shell-many-notes": "{count} notes",
    "shell-one-file": "{count} file",
    "shell-many-files": "{count} files",
    "shell-foods-other-scale": "{path} is the UK table. Its carbohydrate is counted as monosaccharides, "
    "where 100 grams of starch are 110, which is on no label's scale. So it is not read.",
    "shell-foods-so-far": "{count} rows read.",
    "shell-foods-layout": "Layout: {layout}.",
    "shell-foods-source": "Source: {name}. Terms: {terms}.",
    "shell-foods-no-terms": "not stated",
    "shell-foods-none": "No food was read. Nothing was changed.",
    "shell-foods-same": "Nothing was changed: all of the {count} foods read are there already.",
    "shell-foods-same-one": "Nothing was changed: the food that was read is there already.",
    "shell-foods-done": "{count} read: {added} added, {changed} changed, {same} as they were.",
    "shell-foods-older": "Left as before, since what is there is of a later date: {count}.",
    "shell-foods-left-out": "Left out: {count}.",
    "shell-foods-marked": "{count} on what was taken.",
    "shell-foods-fault-out": "{place} Left out, {why}: {said}",
    "shell-foods-fault-kept": "{place} Taken, but {why}: {said}",
    "shell-foods-place": "{file}, line {line}.",
    "shell-foods-fault-file": "All of these lines are in {path}.",
    "shell-foods-source-row": "{name}: {count}. Terms: {terms}.",
    "shell-foods-no-sources": 'No foods are imported. "countaloud foods import FILE" brings some in.',
    "shell-foods-written": "Written to {path}: {count}.",
    "shell-foods-not-written": "{path} could not be written: {why}. A file that is there is never replaced.",
    # Why a row was not taken
    "shell-fault-no-name": "its name has no letters",
    "shell-fault-no-carbohydrate": "it states no carbohydrate",
    "shell-fault-trace": "it states a trace of carbohydrate and no figure",
    "shell-fault-carbohydrate-by-sum": "its carbohydrate is a sum of parts, not by difference",
    "shell-fault-not-a-figure": "one of its figures cannot be read, or is below nought",
    "shell-fault-other-unit": "the unit or basis is not one that is known",
    "shell-fault-part-over-whole": "its figures contradict each other",
    "shell-fault-over-hundred": "it states more grams in 100 than 100 of it weigh",
    "shell-fault-other-scale": "its carbohydrate is on another scale",
    "shell-fault-barcode": "its barcode is not a right one",
    "shell-fault-no-weight": "the weight of its measure is missing",
    "shell-fault-other-market": "it is from a market whose labels may count otherwise",
    "shell-fault-no-id": "it has no number",
    "shell-fault-not-json": "it is no whole JSON",
    "shell-fault-short-row": "the row has fewer cells than there are columns, so a figure may stand under "
    "another name. An empty cell needs its comma too",
    "shell-fault-surplus": "the row has more cells than there are columns, so a figure may stand under "
    "another name. A comma inside a cell needs quotation marks around the cell",
    "shell-fault-doubled-column": "this column is there twice, so no row of the file is read",
    "shell-fault-line-break": "a cell of the row runs over several lines. A quotation mark may be missing",
    "shell-fault-stated-twice": "it states one thing twice, and not the same",
    "shell-fault-twice": "another row has the same name or number and says otherwise, so neither is taken",
    "shell-fault-same-name": "another of these foods has the same name, so it is asked which is meant",
    "shell-fault-measure": "a measure cannot be read",
    "shell-fault-unknown-value": "a value or column is not known",
    "shell-fault-unfilled": "the row was never filled in",
    "shell-fault-no-units": "the file does not state its units. Beside the other files of its table, in one "
    "folder, it takes them from those",
    "shell-fault-date": "its date is not one. Write it as 2026, 2026-03 or 2026-03-02",
    "shell-fault-sum": "fat, carbohydrate and protein together weigh more than the food",
    "shell-fault-energy": "its energy is far from what its fat, carbohydrate and protein give. Its figures "
    "may hold a slip: compare them with the source",
    "shell-fault-own-copy": "you have a food of your own made from it, with other figures, and yours is what "
    'is counted. Type "new label for" and its name in the chat to change it',
    "shell-fault-portion-unit": "the unit of its portions is not known, so those portions are not taken",
    "shell-fault-own-differs": "you have another food of this name",
    # The layouts
    "shell-layout-usda-csv": "USDA FoodData Central, a folder of CSV files",
    "shell-layout-usda-json": "USDA FoodData Central, JSON",
    "shell-layout-usda-sr28": "USDA National Nutrient Database, text files with carets",
    "shell-layout-usda-sr28-tidy": "USDA National Nutrient Database, two tables",
    "shell-layout-usda-tidy": "USDA FoodData Central, one table with one of portions",
    "shell-layout-canada-file": "Canadian Nutrient File, a folder of CSV files",
    "shell-layout-canada-booklet": "Nutrient Value of Some Common Foods, CSV files",
    "shell-layout-canada-booklet-tidy": "Nutrient Value of Some Common Foods, one table",
    "shell-layout-swiss": "Swiss Food Composition Database, CSV",
    "shell-layout-ciqual": "Ciqual table, CSV",
    "shell-layout-indian": "Indian Food Composition Tables, index CSV",
    "shell-layout-plain-table": "the plain table, CSV",
    "shell-layout-plain-lines": "the plain lines, a food a line in JSON",
    # Help on imports, a line each
    "shell-topic-imports-1": '"countaloud foods import FILE" reads a file, a folder, or a zip or tar archive, and '
    "tells by its content what it is. It takes all of it or nothing; if it was stopped, begin again.",
    "shell-topic-imports-2": "What a table calls carbohydrate is kept with each food: with fibre inside, or "
    "without. A figure that a table does not state is unknown, never nought.",
    "shell-topic-imports-3": "A plain table is CSV. Its first line names the columns. Needed: name, per, "
    "carbohydrate_g, carbohydrate_is.",
    "shell-topic-imports-4": 'In per stands "100 g" or "100 ml". In carbohydrate_is stands "total", with fibre '
    'inside, or "available", without it.',
    "shell-topic-imports-5": "Other columns: id, fibre_g, sugars_g, added_sugars_g, polyols_g, protein_g, fat_g, "
    "saturated_fat_g, sodium_mg, salt_g, energy_kcal, energy_kj, measures, barcode, source, licence, date.",
    "shell-topic-imports-6": "measures are parted by semicolons: 1 slice = 35 g; 1 cup, chopped = 160 g. A cell "
    "with a comma inside needs quotation marks. date is 2026, 2026-03 or 2026-03-02.",
    "shell-topic-imports-7": '"countaloud foods export FILE" writes your own foods, exactly, a food a line in JSON. '
    '"foods import" reads them into another folder as your own.',
}
