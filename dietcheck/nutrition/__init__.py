"""From records to servings and rations: what each animal is offered, with every nutrient in it."""
