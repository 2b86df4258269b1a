"""The values that everybody passes on: places in a text, the dance as data, findings, outcomes, words for feet and walls."""
