namespace Keyline.Elevation;

/// <summary>A height measured at a place.</summary>
/// <param name="Name">What the surveyor calls it.</param>
/// <param name="X">Metres east.</param>
/// <param name="Y">Metres north.</param>
/// <param name="Height">Metres.</param>
public sealed record SurveyShot(string Name, double X, double Y, double Height);

/// <summary>How a surface is put through shots.</summary>
public enum SurveyMethod
{
    /// <summary>The thin plate: smooth, carries slopes on between shots. For some hundreds of shots.</summary>
    ThinPlate,

    /// <summary>Flat triangles between neighbouring shots. For any number of them.</summary>
    Triangles,
}

/// <summary>How to make a surface of shots.</summary>
public sealed record SurveyOptions
{
    /// <summary>Most shots a thin plate is put through when nothing else is asked for.</summary>
    public const int MostForThinPlate = 800;

    /// <summary>Most cells a surface is given when nothing else is asked for.</summary>
    public const long DefaultMaximumCells = 25_000_000;

    /// <value>The method; null for the thin plate up to 800 shots and triangles beyond.</value>
    public SurveyMethod? Method { get; init; }

    /// <value>Side of a cell, metres; null for half the usual distance between shots, rounded to 1, 2 or 5.</value>
    public double? CellSize { get; init; }

    /// <value>How far the thin plate may pass beside the shots: 0 goes through each, 1 is nearly a plane; null for what predicts
    /// shots left out best.</value>
    public double? Smoothing { get; init; }

    /// <value>Whether shots that look like blunders are kept. They are listed either way.</value>
    public bool KeepSuspects { get; init; }

    /// <value>Most cells the surface may have; more is refused before memory is taken.</value>
    public long MaximumCells { get; init; } = DefaultMaximumCells;
}

/// <summary>A shot, and how far it lies from the surface made without it.</summary>
/// <param name="Shot">The shot.</param>
/// <param name="Residual">Its height less that of the surface made of all the other shots, metres; NaN where they say nothing
/// of its place.</param>
public sealed record ShotResidual(SurveyShot Shot, double Residual);

/// <summary>Shots of one place, within a centimetre.</summary>
/// <param name="Shots">The shots.</param>
/// <param name="Spread">Highest less lowest, metres. The middle height was used.</param>
public sealed record RepeatedShots(IReadOnlyList<SurveyShot> Shots, double Spread);
