using Keyline.Field;
using Keyline.SetOut;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>What a set-out sheet shows.</summary>
/// <remarks>Units: projected metres; the sheet itself is written in <see cref="Unit"/>.</remarks>
public sealed class SetOutSheetContent
{
    /// <summary>The staked lines, a part of the sheet each.</summary>
    public required IReadOnlyList<StakedLine> Lines { get; init; }

    /// <summary>Longitude and latitude in degrees of a projected place.</summary>
    public required Func<Coordinate, (double Longitude, double Latitude)> ToLonLat { get; init; }

    /// <summary>The field, or null.</summary>
    public FieldArea? Field { get; init; }

    /// <summary>Other lines of the plan, drawn faintly.</summary>
    public IReadOnlyList<LineString> OtherLines { get; init; } = [];

    /// <summary>The benchmark the level is read on, or null.</summary>
    public LevelMark? Mark { get; init; }

    /// <summary>How stakes were chosen.</summary>
    public SetOutOptions Options { get; init; } = new();

    /// <summary>The unit of the sheet's lengths and heights.</summary>
    public SheetUnit Unit { get; init; } = SheetUnit.Metre;

    /// <summary>Name of the coordinate system, for the easting and northing.</summary>
    public string CoordinateSystem { get; init; } = "";

    /// <summary>On the datum of the longitudes and latitudes, one sentence each.</summary>
    public IReadOnlyList<string> DatumNotes { get; init; } = [];

    /// <summary>What to mind before setting out, one sentence each.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>What the sheet was made with, for the foot of its pages.</summary>
    public string MadeWith { get; init; } = "";
}

/// <summary>A unit of a sheet's lengths.</summary>
/// <param name="Name">Its short name.</param>
/// <param name="Metres">How many metres it has.</param>
public sealed record SheetUnit(string Name, double Metres)
{
    /// <summary>The metre.</summary>
    public static SheetUnit Metre { get; } = new("m", 1);

    /// <summary>The foot of 0.3048 m, in tenths and hundredths as on a surveyor's rod.</summary>
    public static SheetUnit Foot { get; } = new("ft", 0.3048);
}
