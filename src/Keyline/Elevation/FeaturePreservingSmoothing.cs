namespace Keyline.Elevation;

/// <summary>How strongly <see cref="FeaturePreservingSmoothing"/> works.</summary>
public sealed record FeatureSmoothingOptions
{
    /// <summary>Half the width of the window when nothing else is asked for, metres.</summary>
    public const double DefaultRadius = 5;

    /// <summary>Angle between two faces of the ground from which on they do not mix, degrees.</summary>
    public const double DefaultThreshold = 8;

    /// <summary>Rounds of fitting heights to the smoothed faces.</summary>
    public const int DefaultRounds = 8;

    /// <summary>Most that a height is changed, metres.</summary>
    public const double DefaultMaximumChange = 0.5;

    /// <value>Half the width of the window, metres, above 0. Default 5 m: noise fades by about the square root of the cells in
    /// the window on one face.</value>
    public double Radius { get; init; } = DefaultRadius;

    /// <value>Degrees, above 0 and below 90. Default 8: a valley whose sides slope by 7 % or more keeps its floor. Noise must
    /// tilt cells by clearly less: 5 cm on cells of 1 m tilt them by about 1.2 degrees.</value>
    public double Threshold { get; init; } = DefaultThreshold;

    /// <value>Rounds, from 1. Default 8. More rounds bring the heights closer to the smoothed faces.</value>
    public int Rounds { get; init; } = DefaultRounds;

    /// <value>Most that a height is changed, metres, above 0. Default 0.5 m.</value>
    public double MaximumChange { get; init; } = DefaultMaximumChange;

    internal void Validate()
    {
        Require(Radius > 0 && double.IsFinite(Radius), nameof(Radius), Radius, "The radius must be a finite number of metres above 0.");
        Require(Threshold > 0 && Threshold < 90, nameof(Threshold), Threshold, "The threshold must lie above 0 and below 90 degrees.");
        Require(Rounds >= 1, nameof(Rounds), Rounds, "There must be at least 1 round.");
        Require(MaximumChange > 0 && double.IsFinite(MaximumChange), nameof(MaximumChange), MaximumChange, "The greatest change must be a finite number of metres above 0.");
    }

    private static void Require(bool holds, string name, object value, string sentence)
    {
        if (!holds)
        {
            throw new ArgumentOutOfRangeException(name, value, sentence);
        }
    }
}

/// <summary>Smooths the faces of the ground and leaves the lines where they meet: crests, valley floors, banks.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: stays missing and has no part in its neighbours.</para>
/// <para>Promises: a plane stays a plane, beside edges and holes too; no height changes by more than the options say; the
/// same bits on any number of cores.</para>
/// <para>Cost: linear in cells times the window's cells and the rounds' nine neighbours; 24 bytes a cell while it works.</para>
/// <para>Source: normals are averaged over a window with weights that fall to nothing at the threshold angle, then heights
/// are fitted to them in rounds: Sun, Rosin, Martin and Langbein 2007, Fast and effective feature-preserving mesh denoising,
/// IEEE Transactions on Visualization and Computer Graphics 13(5), 925-938; for elevation grids Lindsay, Francioni and
/// Cockburn 2019, LiDAR DEM smoothing and the preservation of drainage features, Remote Sensing 11(16), 1926.</para>
/// </remarks>
public static class FeaturePreservingSmoothing
{
    /// <summary>Smooths.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="options">How strongly; null for the defaults.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">An option is out of range.</exception>
    public static ElevationGrid Apply(ElevationGrid ground, FeatureSmoothingOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        options ??= new FeatureSmoothingOptions();
        options.Validate();
        FacetNormals facets = FacetNormals.Measure(ground, cancellationToken);
        facets = facets.Smooth(Math.Max(1, (int)Math.Round(options.Radius / ground.Frame.CellSize)), options.Threshold, cancellationToken);
        float[] z = ground.Array;
        for (int round = 0; round < options.Rounds; round++)
        {
            z = facets.Fit(ground, z, options.Threshold, options.MaximumChange, cancellationToken);
        }

        return new ElevationGrid(ground.Frame, z == ground.Array ? (float[])z.Clone() : z);
    }
}
