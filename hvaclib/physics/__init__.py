"""Pure functions, one module a subject: called with quantities, or through ``.si`` with plain SI floats and arrays."""
