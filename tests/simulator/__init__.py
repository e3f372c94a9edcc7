"""A world of fasteners to try the identification in.

It is written from standards and from what workshops see, and imports nothing of the identification: how parts are made,
how they age, how people measure them. What the tool assumes about all this is the tool's business.

* `standards`: limits of size by the formulae of the standards
* `world`: parts as they lie in a tub, and the worlds that differ from the usual one
* `people`: what a person reads off a part
* `oracle`: the best answer anyone could give, worked out by brute force from the world itself
"""
