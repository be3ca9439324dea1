"""One Reply, three forms: sighted text, spoken sentences, JSON. All texts live here."""
