namespace Keyline.Layout;

/// <summary>How far the tractor drives over a layout.</summary>
/// <param name="WorkedLength">In the ground, metres.</param>
/// <param name="TurningLength">Between lines, by the shortest way its turning radius allows, metres; from and to the gate too
/// where there is one.</param>
/// <param name="Turns">Number of turns between lines.</param>
public sealed record DrivingFigures(double WorkedLength, double TurningLength, int Turns)
{
    /// <summary>Both lengths, metres.</summary>
    public double DrivenLength => WorkedLength + TurningLength;

    /// <summary>Time spent between lines.</summary>
    /// <param name="speed">Speed there, metres a second, above 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">A speed of 0 or less.</exception>
    public TimeSpan TurningTime(double speed)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(speed);
        return TimeSpan.FromSeconds(TurningLength / speed);
    }
}
