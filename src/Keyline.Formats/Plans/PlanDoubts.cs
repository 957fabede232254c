using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>What a plan's file may not say: files are passed on and edited by hand, and what comes after would take hours over it or steer a tractor by it.</summary>
internal static class PlanDoubts
{
    /// <summary>Most characters of a line's id, which is repeated at every point of some formats.</summary>
    public const int MostIdCharacters = 80;

    // No farm is so wide, nor any line so long; metres.
    private const double MostExtent = 200_000;

    // Above any mountain, below any hollow; metres.
    private const double MostHeight = 12_000;

    /// <summary>An id that can be written and read in every format.</summary>
    /// <exception cref="GroundDataException">It holds control characters, begins or ends with a blank, or is too long.</exception>
    public static string Id(string id, int feature, string name) =>
        id.Any(c => char.IsControl(c) || c is '\uFFFE' or '\uFFFF') || id.Where((c, i) => char.IsSurrogate(c) && !IsPaired(id, i)).Any()
            ? throw new GroundDataException(FormattableString.Invariant($"{name}: the id of feature {feature} holds a control character, which no other format can; give it another."))
            : id.Length > 0 && (char.IsWhiteSpace(id[0]) || char.IsWhiteSpace(id[^1]))
                ? throw new GroundDataException(FormattableString.Invariant($"{name}: the id of feature {feature} begins or ends with a blank, which tables lose; write it without."))
            : id.Length > MostIdCharacters
                ? throw new GroundDataException(FormattableString.Invariant($"{name}: the id of feature {feature} has {id.Length} characters; give it one of at most {MostIdCharacters}."))
                : id;

    /// <summary>Refuses shapes that no farm has, and a projected system that is not that of the place.</summary>
    /// <param name="shapes">Longitude and latitude, as read.</param>
    /// <param name="crs">The projected system.</param>
    /// <param name="isClaimed">Whether the file itself names the system.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">They cannot be.</exception>
    public static void Check(IEnumerable<GeoJsonFeature> shapes, GroundCrs crs, bool isClaimed, string name)
    {
        double first = double.NaN;
        Envelope box = new();
        foreach (GeoJsonFeature feature in shapes)
        {
            foreach (Coordinate c in feature.Shape.Coordinates)
            {
                first = double.IsNaN(first) ? c.X : first;
                box.ExpandToInclude(first + Math.IEEERemainder(c.X - first, 360), c.Y);
                if (Math.Abs(c.Z) > MostHeight)
                {
                    throw new GroundDataException(FormattableString.Invariant($"{name}: feature {feature.Number} has the height {c.Z:G6} m, where no land is; give heights in metres."));
                }
            }
        }

        if (box.IsNull)
        {
            return;
        }

        double across = GroundScale.Distance(box.MinX, box.MinY, box.MaxX, box.MaxY);
        if (!(across <= MostExtent))
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: its lines span {across / 1000:0} km, as no farm does; give the plan of one farm, and look for a corner that is far off."));
        }

        if (isClaimed && !IsOfThePlace(crs, box))
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: it says that its metres are of {crs.Name} (EPSG:{crs.EpsgCode}), which is not true to scale at {box.Centre.X:0.###}, {box.Centre.Y:0.###}; make the plan again in the system of the place."));
        }
    }

    private static bool IsOfThePlace(GroundCrs crs, Envelope box)
    {
        const double step = 1e-3;
        foreach ((double east, double north) in new[] { (step, 0.0), (0.0, step) })
        {
            (double x0, double y0) = crs.FromLonLat(box.Centre.X, box.Centre.Y);
            (double x1, double y1) = crs.FromLonLat(box.Centre.X + east, box.Centre.Y + north);
            double on = Math.Sqrt(((x1 - x0) * (x1 - x0)) + ((y1 - y0) * (y1 - y0)));
            double ground = GroundScale.Distance(box.Centre.X, box.Centre.Y, box.Centre.X + east, box.Centre.Y + north);
            if (!(Math.Abs((on / ground) - 1) <= GroundAssembler.MostScaleError))
            {
                return false;
            }
        }

        return true;
    }

    private static bool IsPaired(string text, int i) => char.IsHighSurrogate(text[i])
        ? i + 1 < text.Length && char.IsLowSurrogate(text[i + 1])
        : i > 0 && char.IsHighSurrogate(text[i - 1]);
}
