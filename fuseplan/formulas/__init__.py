"""Published equations as pure functions: one equation each, no branch, no look-up, no unit conversion.

They work alike on floats, numpy arrays and pint quantities. A Celsius reading as a quantity is a difference from
the ice point (``delta_degC``). Constants are keyword arguments with the published value as default.
"""
