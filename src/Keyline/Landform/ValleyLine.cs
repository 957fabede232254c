using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>What part a valley plays.</summary>
public enum ValleyKind
{
    /// <summary>A main valley, into which primary valleys fall.</summary>
    Main,

    /// <summary>A primary valley: one that rises from the valley below to the ridge above.</summary>
    Primary,

    /// <summary>A rill or side hollow that does not reach up to the ridge.</summary>
    Minor,
}

/// <summary>How a valley line ends.</summary>
public enum ValleyEnd
{
    /// <summary>On the line of another valley.</summary>
    Confluence,

    /// <summary>At the edge of the ground that is known.</summary>
    Edge,

    /// <summary>At the bottom of a closed hollow deeper than the rise a valley may cross.</summary>
    Hollow,
}

/// <summary>The floor line of one valley.</summary>
public sealed class ValleyLine
{
    internal ValleyLine(int number, LineString line, int order, double catchmentArea, ValleyKind kind, int joins, ValleyEnd end, ValleyProfile? profile)
    {
        Number = number;
        Line = line;
        Order = order;
        CatchmentArea = catchmentArea;
        Kind = kind;
        Joins = joins;
        End = end;
        Profile = profile;
    }

    /// <summary>Number of the valley, from 1.</summary>
    public int Number { get; }

    /// <summary>The floor from head to foot, metres, Z the ground height.</summary>
    public LineString Line { get; }

    /// <summary>Strahler order at the foot, from 1.</summary>
    public int Order { get; }

    /// <summary>Ground that drains through the foot, square metres within the grid.</summary>
    public double CatchmentArea { get; }

    /// <summary>What part it plays.</summary>
    public ValleyKind Kind { get; }

    /// <summary>True for a primary valley: one that rises from the valley below to the ridge above.</summary>
    public bool IsPrimary => Kind == ValleyKind.Primary;

    /// <summary>Number of the valley it joins; 0 where it joins none.</summary>
    public int Joins { get; }

    /// <summary>How it ends.</summary>
    public ValleyEnd End { get; }

    /// <summary>Length of the floor in metres, measured on the map.</summary>
    public double Length => Line.Length;

    /// <summary>Height of the head above the foot, metres.</summary>
    public double Fall => Line.StartPoint.Coordinate.Z - Line.EndPoint.Coordinate.Z;

    /// <summary>Its long profile from head to foot; null where fewer than eight places along it have heights.</summary>
    public ValleyProfile? Profile { get; }
}
