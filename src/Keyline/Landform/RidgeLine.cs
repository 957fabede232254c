using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>The crest line of one ridge.</summary>
public sealed class RidgeLine
{
    internal RidgeLine(int number, LineString line, bool isMain)
    {
        Number = number;
        Line = line;
        IsMain = isMain;
    }

    /// <summary>Number of the ridge, from 1.</summary>
    public int Number { get; }

    /// <summary>The crest, from its higher end, metres, Z the ground height.</summary>
    public LineString Line { get; }

    /// <summary>True for a main ridge, which carries the heads of valleys; false for a primary ridge, which
    /// descends between two valleys.</summary>
    public bool IsMain { get; }
}
