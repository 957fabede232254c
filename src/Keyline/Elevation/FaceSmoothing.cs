namespace Keyline.Elevation;

/// <summary>What <see cref="FaceSmoothing"/> holds to. Everything follows from the noise of the heights.</summary>
public sealed record FaceSmoothingOptions
{
    /// <value>Standard deviation of the scatter from cell to cell, metres, from 0. Default null: as <see cref="HeightNoise"/>
    /// measures it, and no less than what the step they are written in brings. Twice as much lets faces mix that differ by twice the angle, and moves heights twice as far.</value>
    public double? Noise { get; init; }

    /// <value>How far around itself a cell looks along its face, metres, above 0. Default null: as far as it takes for the noise
    /// to tilt a face by no more than 0.15 %; 5 cm on cells of 1 m need 5 m. Twice as far costs four times the time.</value>
    public double? Reach { get; init; }

    internal void Validate()
    {
        if (Noise is { } noise && !(noise >= 0 && double.IsFinite(noise)))
        {
            throw new ArgumentOutOfRangeException(nameof(Noise), noise, "The noise must be a finite number of metres from 0.");
        }

        if (Reach is { } reach && !(reach > 0 && double.IsFinite(reach)))
        {
            throw new ArgumentOutOfRangeException(nameof(Reach), reach, "The reach must be a finite number of metres above 0.");
        }
    }
}

/// <summary>Smooths the faces of the ground and leaves the lines where they meet: crests, valley floors, banks.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: stays missing and has no part in its neighbours.</para>
/// <para>Promises: a plane stays a plane, beside edges and holes too; no height changes by more than four times the noise;
/// ground without noise, and ground too small to tell it, comes back as it is; the same bits on any number of cores.</para>
/// <para>Cost: linear in cells times the window's cells and the rounds' nine neighbours; 24 bytes a cell while it works.</para>
/// <para>Source: normals are averaged over a window with weights that fall to nothing at a threshold angle, then heights
/// are fitted to them in rounds: Sun, Rosin, Martin and Langbein 2007, Fast and effective feature-preserving mesh denoising,
/// IEEE Transactions on Visualization and Computer Graphics 13(5), 925-938; for elevation grids Lindsay, Francioni and
/// Cockburn 2019, LiDAR DEM smoothing and the preservation of drainage features, Remote Sensing 11(16), 1926. How the window,
/// the angle, the rounds and the greatest change follow from the noise is ours, worked out beside each.</para>
/// </remarks>
public static class FaceSmoothing
{
    /// <summary>The noise left in the tilt of a face, as a rise over a run: well under the falls that rips are laid out with. Ours, no source, as are the bounds below.</summary>
    private const double TiltLeft = 0.0015;

    /// <summary>Faces that differ by this many standard deviations of the tilt that noise gives to nine cells no longer mix.</summary>
    private const double TiltsApart = 5;

    private const double SteepestAngle = 60;
    private const int LargestHalf = 15;

    /// <summary>Every round carries heights one cell farther; a few more settle them.</summary>
    private const int RoundsBeyond = 3;

    /// <summary>Independent noise leaves this many standard deviations once in sixteen thousand cells.</summary>
    private const double MostInDeviations = 4;

    /// <summary>Smooths.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="options">What to hold to; null for what the noise of the heights asks for.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">An option is out of range.</exception>
    public static ElevationGrid Apply(ElevationGrid ground, FaceSmoothingOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        options ??= new FaceSmoothingOptions();
        options.Validate();
        cancellationToken.ThrowIfCancellationRequested();
        double noise = options.Noise ?? NoiseOf(ground, cancellationToken);
        if (!(noise > 0))
        {
            return ground;
        }

        double cell = ground.Frame.CellSize;
        int half = options.Reach is { } reach ? Math.Max(1, (int)Math.Round(reach / cell)) : HalfFor(noise / cell);
        double angle = AngleFor(noise / cell);
        FacetNormals facets = FacetNormals.Measure(ground, cancellationToken).Smooth(half, angle, cancellationToken);
        float[] z = ground.Array;
        for (int round = 0; round < half + RoundsBeyond; round++)
        {
            z = facets.Fit(ground, z, angle, MostInDeviations * noise, cancellationToken);
        }

        return new ElevationGrid(ground.Frame, z);
    }

    // Heights written in steps hide the scatter; a step is a scatter of its own, even from half below to half above.
    private static double NoiseOf(ElevationGrid ground, CancellationToken cancellationToken) =>
        Math.Max(HeightNoise.Estimate(ground, cancellationToken), HeightNoise.Step(ground) / Math.Sqrt(12));

    /// <summary>Half the window, in cells, that brings the tilt of a face down to what may be left.</summary>
    // The mean of the slopes across w cells is a difference of its two ends, over w rows: noise over cell size by w to the 1.5.
    internal static int HalfFor(double noisePerCell) =>
        (int)Math.Clamp(Math.Ceiling((Math.Pow(noisePerCell / TiltLeft, 2.0 / 3) - 1) / 2), 1, LargestHalf);

    /// <summary>The angle between two faces, degrees, from which on they are two.</summary>
    // The plane through nine cells has a slope of variance noise squared over six each way, per cell (least squares).
    internal static double AngleFor(double noisePerCell) =>
        Math.Min(SteepestAngle, Math.Atan(TiltsApart * noisePerCell / Math.Sqrt(6)) * 180 / Math.PI);
}
