"""The values that every room passes on: source, the dance as data, findings, outcomes, words for feet and walls."""
