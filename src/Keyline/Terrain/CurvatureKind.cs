namespace Keyline.Terrain;

/// <summary>A way to measure how the ground bends.</summary>
public enum CurvatureKind
{
    /// <summary>Bend of the ground's section along the slope. Positive where the ground steepens downhill.</summary>
    Profile,

    /// <summary>Bend of the ground's section across the slope, at right angles to the profile. Positive where water spreads.</summary>
    Plan,

    /// <summary>Bend of the contour line seen from above: 1 over its radius. Positive around a ridge, negative in a valley.</summary>
    Contour,

    /// <summary>The mean of the bends in any two directions at right angles.</summary>
    Mean,

    /// <summary>The least bend in any direction: most negative along the hollow of a valley's section.</summary>
    Minimum,

    /// <summary>The greatest bend in any direction: most positive across a crest.</summary>
    Maximum,
}
