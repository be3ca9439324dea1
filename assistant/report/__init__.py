"""The report for a visit: one document, and its forms: Markdown, an HTML page, CSV, FHIR."""
