using System.Globalization;
using System.Text.RegularExpressions;
using ProjNet.CoordinateSystems;

namespace Keyline.Formats;

/// <summary>Reads a coordinate system from WKT 1 and settles how its datum reaches WGS 84.</summary>
internal static partial class WktCrs
{
    /// <summary>Parses a text this library wrote.</summary>
    public static CoordinateSystem Parse(string wkt) => new CoordinateSystemFactory().CreateFromWkt(wkt);

    /// <summary>Reads a text somebody else wrote.</summary>
    public static GroundCrs Read(string wkt)
    {
        string text = wkt.Trim().TrimStart('\uFEFF');
        if (text.Length > 100_000)
        {
            throw new GroundDataException("The coordinate system text is longer than any WKT: check that the .prj file is the right one.");
        }

        if (Wkt2().IsMatch(text))
        {
            return FromWkt2(text);
        }

        // A compound system: the horizontal part is all that is wanted here.
        if (text.StartsWith("COMPD_CS", StringComparison.OrdinalIgnoreCase))
        {
            text = FirstPart(text);
        }

        CoordinateSystem parsed;
        try
        {
            parsed = (WktShape.IsSound(text) ? Parse(text) : null) ?? throw new FormatException("It is not shaped as WKT.");
        }
        catch (Exception e) when (e is ArgumentException or FormatException or InvalidOperationException or NotSupportedException or NullReferenceException or IndexOutOfRangeException or IOException or OverflowException or KeyNotFoundException)
        {
            throw new GroundDataException("The coordinate system text is not WKT this program can read: write it as EPSG:32610, or save the .prj file as WKT 1.", e);
        }

        try
        {
            return Of(parsed, text);
        }
        catch (Exception e) when (e is ArgumentException or System.Reflection.TargetInvocationException or InvalidOperationException or NotSupportedException or ArithmeticException or KeyNotFoundException or FormatException or NullReferenceException)
        {
            string why = (e.InnerException ?? e).Message.ReplaceLineEndings(" ").TrimEnd('.');
            throw new GroundDataException($"The coordinate system \"{parsed.Name}\" cannot be worked in ({why}): write it as EPSG:32610, or save the .prj file again.", e);
        }
    }

    private static GroundCrs Of(CoordinateSystem parsed, string text)
    {
        HorizontalCoordinateSystem horizontal = parsed as HorizontalCoordinateSystem
            ?? throw new GroundDataException($"The coordinate system \"{parsed.Name}\" is neither projected nor geographic: reproject the elevation to the UTM zone of the field.");
        ProjectedCoordinateSystem? projected = parsed as ProjectedCoordinateSystem;
        GeographicCoordinateSystem geographic = projected?.GeographicCoordinateSystem ?? (GeographicCoordinateSystem)horizontal;

        int? code = string.Equals(parsed.Authority, "EPSG", StringComparison.OrdinalIgnoreCase) && parsed.AuthorityCode > 0 ? (int)parsed.AuthorityCode : null;
        if (code == GroundCrs.WebMercatorCode || projected?.Projection.ClassName.Replace(' ', '_').ToUpperInvariant() is "MERCATOR_AUXILIARY_SPHERE" or "POPULAR_VISUALISATION_PSEUDO_MERCATOR")
        {
            return GroundCrs.FromEpsg(GroundCrs.WebMercatorCode);
        }

        if (geographic.PrimeMeridian.Longitude != 0)
        {
            throw new GroundDataException($"\"{parsed.Name}\" counts longitude from {geographic.PrimeMeridian.Name}, not from Greenwich: reproject the elevation to the UTM zone of the field.");
        }

        (GeographicEntry entry, string note) = DatumOf(geographic);
        double perUnit = projected?.LinearUnit.MetersPerUnit ?? 1.0;
        return new GroundCrs(parsed.Name, code, entry, projected is null ? null : PlaneMapping.Of(projected), perUnit, text, note);
    }

    private static (GeographicEntry Entry, string Note) DatumOf(GeographicCoordinateSystem geographic)
    {
        HorizontalDatum datum = geographic.HorizontalDatum;
        double a = datum.Ellipsoid.SemiMajorAxis;
        double inverse = datum.Ellipsoid.InverseFlattening;
        inverse = double.IsFinite(inverse) ? inverse : 0;
        if (EpsgTable.ByDatumName(datum.Name) is { } known
            && Math.Abs(known.Shift.SemiMajor - a) < 0.01 && Math.Abs(known.Shift.InverseFlattening - inverse) < 0.001)
        {
            return (known with { Shift = new DatumShift(a, inverse, known.Shift.Parameters) }, GroundCrs.NoteOn(known));
        }

        if (datum.Wgs84Parameters is { } given)
        {
            double[] p = [given.Dx, given.Dy, given.Dz, given.Ex, given.Ey, given.Ez, given.Ppm];
            GeographicEntry entry = new(0, geographic.Name, datum.Name, new DatumShift(a, inverse, p), double.NaN, 0);
            return (entry, $"Longitudes and latitudes were shifted from {geographic.Name} to WGS 84 by the TOWGS84 numbers of its WKT text, whose accuracy it does not state.");
        }

        throw new GroundDataException(
            $"The datum {datum.Name} has no shift to WGS 84 known to this program, and taking it for WGS 84 could put lines 200 m off: reproject the elevation to the UTM zone of the field (WGS 84, NAD83 or ETRS89), or add TOWGS84[...] to its WKT.");
    }

    private static GroundCrs FromWkt2(string text)
    {
        // WKT 2 ends with the identifier of the whole system where it has one.
        Match id = TrailingId().Match(text);
        return id.Success
            ? GroundCrs.FromEpsg(int.Parse(id.Groups[1].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture))
            : throw new GroundDataException("The coordinate system text is WKT 2 without an EPSG code, which this program cannot read: write it as EPSG:32610, or save the .prj file as WKT 1.");
    }

    private static string FirstPart(string compound)
    {
        int start = compound.IndexOf("PROJCS", StringComparison.OrdinalIgnoreCase);
        start = start >= 0 ? start : compound.IndexOf("GEOGCS", StringComparison.OrdinalIgnoreCase);
        int depth = 0;
        for (int i = Math.Max(start, 0); i < compound.Length; i++)
        {
            depth += compound[i] switch { '[' or '(' => 1, ']' or ')' => -1, _ => 0 };
            if (depth == 0 && compound[i] is ']' or ')')
            {
                return compound[Math.Max(start, 0)..(i + 1)];
            }
        }

        return compound;
    }

    [GeneratedRegex(@"^\s*(PROJCRS|GEOGCRS|GEODCRS|BOUNDCRS|COMPOUNDCRS|GEODETICCRS|GEOGRAPHICCRS|PROJECTEDCRS)\s*\[", RegexOptions.IgnoreCase)]
    private static partial Regex Wkt2();

    [GeneratedRegex(@"ID\s*\[\s*""EPSG""\s*,\s*""?(\d{1,6})""?\s*\]\s*\]\s*$", RegexOptions.IgnoreCase)]
    private static partial Regex TrailingId();
}
