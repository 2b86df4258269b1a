"""What each test asks: the meaning that the second engine gives to checks, a function of the vocabulary for each."""

from attrs import frozen

from stepcheck.model.claims import Test


@frozen
class Sentence:
    """The function of a test: from the bit of a claim, the value if there is one, and the dancer who comes, to the
    dancer after it.

    Attributes:
        name: its name.
        text: its definition in SMT-LIB 2, with what it is defined by.
        both: whether the weight can be on both feet after it, though no figure lands on both.
    """

    name: str
    text: str
    both: bool = False


SENTENCES = {
    Test.LEAD: Sentence(
        "claim-lead",
        """\
(define-fun claim-lead ((claim Off) (foot Weight) (d Dancer)) Dancer
  (on (other foot) (ite (= (weight d) foot) (noted claim d) d)))
""",
    ),
    Test.FOOT: Sentence(
        "claim-foot",
        """\
(define-fun claim-foot ((claim Off) (foot Weight) (d Dancer)) Dancer
  (ite (= (weight d) (other foot)) d (on (other foot) (noted claim d))))
""",
    ),
    Test.BOTH: Sentence(
        "claim-both",
        """\
(define-fun claim-both ((claim Off) (d Dancer)) Dancer (ite (= (weight d) both) d (on both (noted claim d))))
""",
        both=True,
    ),
    Test.FACING: Sentence(
        "claim-facing",
        """\
(define-fun faces ((front Eighths) (e Eighths) (d Dancer)) Bool (= (bvadd front (facing d)) e))
(define-fun claim-facing ((claim Off) (front Eighths) (e Eighths) (d Dancer)) Dancer
  (ite (faces front e d) d (loosely (bvsub e front) (noted claim d))))
""",
    ),
    Test.CLOCK: Sentence(
        "claim-beats",
        """\
(define-fun claim-beats ((claim Off) (b Beats) (d Dancer)) Dancer (ite (= (beats d) b) d (at b (noted claim d))))
""",
    ),
    Test.TURN: Sentence(
        "claim-turn",
        """\
(define-fun turned ((t Turn) (d Dancer)) Bool (ite (= (loose d) #b1) (= (facing d) (of-turn t)) (= (turn d) t)))
(define-fun claim-turn ((claim Off) (t Turn) (d Dancer)) Dancer (exactly t (ite (turned t d) d (noted claim d))))
""",
    ),
    Test.EITHER: Sentence(
        "claim-turn-either-way",
        """\
(define-fun either-way ((t Turn) (d Dancer)) Bool (or (turned t d) (turned (bvneg t) d)))
(define-fun claim-turn-either-way ((claim Off) (t Turn) (d Dancer)) Dancer
  (ite (either-way t d) d (exactly t (noted claim d))))
""",
    ),
}
