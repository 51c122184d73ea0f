# Tables with a published source: published_programs += tests/published/published
