using NetTopologySuite.Geometries;

namespace Keyline.Water;

/// <summary>What a storm can find wrong with a line.</summary>
public enum WaterFindingKind
{
    /// <summary>Water at its end runs faster, or pulls harder, than the soil stands.</summary>
    EndRunsFast,

    /// <summary>Water along its way does.</summary>
    RunsFast,

    /// <summary>It gives back much of its water at one low place along its way.</summary>
    SpillsInOnePlace,
}

/// <summary>Something that a storm found wrong with a line, its place, and what would help.</summary>
/// <remarks>Metres, cubic metres a second, pascals; grades as rise over run. NaN where a number is not of that kind of finding, or where that way does not help.</remarks>
/// <param name="Kind">What.</param>
/// <param name="LineId">The line.</param>
/// <param name="X">East of the place: the end, where it is worst, or where most is spilled.</param>
/// <param name="Y">North of it.</param>
public sealed record WaterFinding(WaterFindingKind Kind, string LineId, double X, double Y)
{
    /// <value>The stretch over which it holds; null where it is a matter of one place.</value>
    public LineString? Stretch { get; init; }

    /// <value>Metres from the line's start to the place.</value>
    public double At { get; init; } = double.NaN;

    /// <value>Greatest flow there.</value>
    public double Flow { get; init; } = double.NaN;

    /// <value>Its speed.</value>
    public double Speed { get; init; } = double.NaN;

    /// <value>Its mean shear.</value>
    public double Shear { get; init; } = double.NaN;

    /// <value>Speed that the soil stands.</value>
    public double SpeedLimit { get; init; } = double.NaN;

    /// <value>Shear that the soil stands.</value>
    public double ShearLimit { get; init; } = double.NaN;

    /// <value>Cubic metres given back: at the end, or at the low place.</value>
    public double Spilled { get; init; } = double.NaN;

    /// <value>Metres of the line that lead their water to the place.</value>
    public double Run { get; init; } = double.NaN;

    /// <value>The grade that pulls the water there: the steepest 20 m of that run, or what its speed needs where that is more.</value>
    public double Grade { get; init; } = double.NaN;

    /// <value>The fall at which the same flow would be stood.</value>
    public double LessFall { get; init; } = double.NaN;

    /// <value>Metres after which the run must be broken, evenly, for each piece to be stood at its grade.</value>
    public double BreakEvery { get; init; } = double.NaN;

    /// <value>How many pieces that makes of the run; 0 where breaking it does not help.</value>
    public int Pieces { get; init; }

    /// <value>Whether less fall and breaks help only together.</value>
    public bool IsTogether { get; init; }

    /// <value>Places of those breaks, from the run's upper end down.</value>
    public IReadOnlyList<Coordinate> Breaks { get; init; } = [];

    /// <summary>How many times what the soil stands the worse of speed and shear is; NaN for spilling.</summary>
    public double Times => Math.Max(Speed / SpeedLimit, Shear / ShearLimit);

    /// <summary>Whether water cuts there; spilling is for knowing only.</summary>
    public bool BreaksLimit => Kind != WaterFindingKind.SpillsInOnePlace;
}
