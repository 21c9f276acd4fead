"""The pack: what a fitter, a shop, a customer and an inspector get on paper, made from one plan."""
