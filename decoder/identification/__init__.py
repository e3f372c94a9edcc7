"""What a fastener can be: observations against the table's threads, as a probability for each and one for none of them.

`decoder.identify` is the public face. The parts, each knowing only those above it:

* `numbers`: the error function and the fixed printing of numbers, written the same in Python and JavaScript
* `model`: every assumption with its ground: instruments, conditions, odds
* `texts`: every sentence a person reads
* `sizes`: the diameters of real parts, from the limits of their usual class
* `index`: tables and model in one file, which both evaluators read
* `observations`: what may be observed, checked
* `fit`: how a bolt goes into a nut of another thread
* `likelihoods`: how probable an observation is for each thread
* `ranking`: prior and likelihoods to a posterior
* `reasons`, `cautions`, `next_step`: why, what goes wrong, and what to look at next
* `answer`: all of it together
* `state`: digests of tables, model and program, to know what figures were measured on
* `vehicles`: which threads a vehicle's joints use
"""
