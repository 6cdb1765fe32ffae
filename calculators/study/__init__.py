"""Study: questions made from the calculators, the mistakes they ask after, grading and schedule."""
