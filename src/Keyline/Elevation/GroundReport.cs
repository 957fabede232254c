namespace Keyline.Elevation;

/// <summary>Whether heights are those of the ground or of what stands on it.</summary>
public enum GroundCover
{
    /// <summary>The cells are too large to tell.</summary>
    CannotTell,

    /// <summary>Next to nothing stands out: bare earth, as far as can be told.</summary>
    Bare,

    /// <summary>A little stands out: banks and gullies, or some trees, walls or roofs.</summary>
    PartlyCovered,

    /// <summary>Much stands out: a surface model with trees and buildings, or broken rock.</summary>
    Covered,
}

/// <summary>What a ground's heights are like.</summary>
public sealed record GroundReport
{
    /// <value>Where the grid lies.</value>
    public required GridFrame Frame { get; init; }

    /// <value>Cells that have a height.</value>
    public required long KnownCells { get; init; }

    /// <value>Lowest height, metres; NaN where none is known.</value>
    public required double Lowest { get; init; }

    /// <value>Highest height, metres; NaN where none is known.</value>
    public required double Highest { get; init; }

    /// <value>Holes.</value>
    public required IReadOnlyList<GroundVoid> Voids { get; init; }

    /// <value>Standard deviation of the scatter from cell to cell, metres; NaN where it cannot be told.</value>
    public required double Noise { get; init; }

    /// <value>The step heights are written in, metres; 0 where they are finer than a centimetre.</value>
    public required double Step { get; init; }

    /// <value>Cells whose height no ground has.</value>
    public required IReadOnlyList<HeightSpike> Spikes { get; init; }

    /// <value>Share of the cells beside a step steeper than 60 degrees and higher than 1 m, 0 to 1; NaN where none can be told.</value>
    public required double AbruptShare { get; init; }

    /// <value>What that says of trees and buildings.</value>
    public required GroundCover Cover { get; init; }
}
