"""Linear and switching regulators: output, heat, and the input they need."""

from __future__ import annotations


def regulator_loss(input_voltage: float, output_voltage: float, load: float, quiescent: float) -> float:
    r"""Heat of a linear regulator.

    .. math:: P = (U_{in} - U_{out}) I + U_{in} I_q

    Parameters
    ----------
    input_voltage : float
        Greatest input. [V]
    output_voltage : float
        Least output. [V]
    load : float
        Current of the load. [A]
    quiescent : float
        Current that the regulator itself draws. [A]

    Returns
    -------
    float
        Heat in the regulator. [W]

    Notes
    -----
    Valid for an input not below the output; exact there.

    References
    ----------
    .. [1] data sheet of a regulator with reset, p. 7, equations 1 to 3. Standing: read.

    Examples
    --------
    >>> round(regulator_loss(12.0, 5.0, 0.5, 0.0), 2)
    3.5
    """
    return (input_voltage - output_voltage) * load + input_voltage * quiescent


def regulator_output(input_voltage: float, output_voltage: float, dropout: float) -> float:
    r"""Output of a linear regulator, in regulation or below it.

    .. math:: U = \max(0, \min(U_{out}, U_{in} - U_{drop}))

    Parameters
    ----------
    input_voltage : float
        Input at that moment. [V]
    output_voltage : float
        Output in regulation. [V]
    dropout : float
        Least difference between input and output at that load. [V]

    Returns
    -------
    float
        Output. [V]

    Notes
    -----
    Valid for steady state; below regulation it takes the dropout as constant, which understates the output
    at light load.

    References
    ----------
    .. [1] data sheet of a three-terminal 1 A positive regulator family, table 'Electrical characteristics'.
       Standing: dropout read, behaviour below it derived here.

    Examples
    --------
    >>> regulator_output(6.5, 5.0, 2.0)
    4.5
    """
    left = input_voltage - dropout
    if left >= output_voltage:
        return output_voltage
    if left < 0.0:
        return 0.0
    return left + 0.0 * output_voltage  # a NaN among the inputs stays one


def lowest_input(output_voltage: float, dropout: float) -> float:
    r"""Least input that gives a wanted output behind a linear regulator.

    .. math:: U_{in} = U_{out} + U_{drop}

    Parameters
    ----------
    output_voltage : float
        Wanted output: the rated one for regulation, the brown-out level for a reset. [V]
    dropout : float
        Least difference between input and output at that load. [V]

    Returns
    -------
    float
        Input. [V]

    Notes
    -----
    Valid for steady state and the load that the dropout was given for.

    References
    ----------
    .. [1] data sheet of a three-terminal 1 A positive regulator family, table 'Electrical characteristics'.
       Standing: read.

    Examples
    --------
    >>> lowest_input(4.5, 2.0)
    6.5
    """
    return output_voltage + dropout


def switching_input_current(
    output_voltage: float, load: float, input_voltage: float, efficiency: float
) -> float:
    r"""Current that a switching regulator draws from its input.

    .. math:: I_{in} = U_{out} I / (\eta U_{in})

    Parameters
    ----------
    output_voltage : float
        Output in regulation. [V]
    load : float
        Current of the load. [A]
    input_voltage : float
        Input at that moment, above zero. [V]
    efficiency : float
        Efficiency at that load, above 0, at most 1. [-]

    Returns
    -------
    float
        Mean current at the input; it grows as the input falls. [A]

    Notes
    -----
    Valid for a regulator in regulation; the efficiency falls at light load, where its own current counts.

    References
    ----------
    .. [1] elementary physics, balance of power. Standing: derived here.

    Examples
    --------
    >>> round(switching_input_current(5.0, 0.5, 12.0, 0.85), 3)
    0.245
    """
    return output_voltage * load / (efficiency * input_voltage)
