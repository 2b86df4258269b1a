"""Steps: what the words of one line of a step description say, as steps, figures and cues."""
