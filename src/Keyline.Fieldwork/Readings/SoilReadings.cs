using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;
using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork;

/// <summary>Readings of one kind at their places.</summary>
/// <param name="Quantity">Its word in files: "pan_top_cm", "pan_bottom_cm", "strength_kpa", "infiltration_mm_h", "eca_ms_m", "cover_pct", "rock_depth_cm", "clay_pct".</param>
/// <param name="Name">In words.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Points">The readings, in that unit.</param>
public sealed record ReadingSeries(string Quantity, string Name, string Unit, IReadOnlyList<SoilPoint> Points);

/// <summary>Everything read at points in a field, checked.</summary>
/// <remarks>Units: as each says. Promises: strength readings on ground that was dry, or of which nobody said how wet it was, are not among them.</remarks>
public sealed class SoilReadings
{
    private readonly IReadOnlyList<(Coordinate At, SiteFacts Facts)> _seen;

    internal SoilReadings(IReadOnlyList<PenetrometerProfile> profiles, IReadOnlyList<(Coordinate, SiteFacts)> seen, IReadOnlyList<ReadingSeries> series, IReadOnlyList<string> said) =>
        (Profiles, _seen, Series, Said) = (profiles, seen, series, said);

    /// <summary>Profiles that count.</summary>
    public IReadOnlyList<PenetrometerProfile> Profiles { get; }

    /// <summary>What can be mapped.</summary>
    public IReadOnlyList<ReadingSeries> Series { get; }

    /// <summary>What was refused, what looks wrong, what was corrected.</summary>
    public IReadOnlyList<string> Said { get; }

    /// <summary>What the readings within a shape say of it as one piece of land.</summary>
    /// <param name="shape">Projected metres.</param>
    /// <param name="stop">Strength that stops roots, pascals.</param>
    /// <param name="how">Takes how each fact came about.</param>
    /// <returns>The middle of depths and strengths, the deep quarter of pans' lower edges, the geometric mean of intake, the mean of cover; of rock,
    /// sodium, salt and Emerson's class the one that asks for most care.</returns>
    public SiteFacts FactsIn(Geometry shape, double stop, ICollection<string> how)
    {
        ArgumentNullException.ThrowIfNull(shape);
        ArgumentNullException.ThrowIfNull(how);
        IPreparedGeometry area = PreparedGeometryFactory.Prepare(shape);
        bool Inside(double x, double y) => area.Covers(shape.Factory.CreatePoint(new Coordinate(x, y)));
        PenetrometerProfile[] profiles = [.. Profiles.Where(p => Inside(p.X, p.Y))];
        HardLayer[] layers = [.. profiles.Select(p => p.LayerAbove(stop))];
        SiteFacts[] seen = [.. _seen.Where(s => Inside(s.At.X, s.At.Y)).Select(s => s.Facts)];
        bool[] pans = [.. layers.Where(l => l.Found is not null).Select(l => l.Found!.Value), .. seen.Where(s => s.HasPan is not null).Select(s => s.HasPan!.Value)];
        double[] tops = [.. layers.Select(l => l.Top).Concat(seen.Select(s => s.PanTop)).Where(double.IsFinite)];
        double[] bottoms = [.. layers.Select(l => l.Bottom).Concat(seen.Select(s => s.PanBottom)).Where(double.IsFinite)];
        int open = layers.Count(l => l.Found == true && double.IsNaN(l.Bottom));
        bool? pan = pans.Length == 0 ? null : 2 * pans.Count(p => p) >= pans.Length;
        if (pans.Length > 0)
        {
            how.Add(FormattableString.Invariant($"{pans.Count(p => p)} of {pans.Length} {(pans.Length == 1 ? "place" : "places")} that were dug or pushed into here met a pan"));
            if (open > 0)
            {
                how.Add(FormattableString.Invariant($"{open} of them did not come out of it below"));
            }
        }

        double[] Of(Func<SiteFacts, double> fact) => [.. seen.Select(fact).Where(double.IsFinite)];
        double[] intake = Of(s => s.Conductivity), cover = Of(s => s.Cover), strengths = [.. profiles.Select(p => p.Greatest)];
        Tell("rings", intake.Length);
        Tell("cover quadrats", cover.Length);
        void Tell(string what, int count)
        {
            if (count > 0)
            {
                how.Add(FormattableString.Invariant($"{what} at {count} {(count == 1 ? "place" : "places")}"));
            }
        }

        TextureClass[] textures = [.. seen.Where(s => s.Texture is not null).Select(s => s.Texture!.Value)];
        Tell("texture by hand", textures.Length);
        return new SiteFacts
        {
            HasPan = pan,
            PanTop = pan == true && tops.Length > 0 ? OutlierCheck.Middle(tops) : double.NaN,
            PanBottom = pan == true && bottoms.Length > 0 && 2 * open <= bottoms.Length + open ? OutlierCheck.Share(bottoms, 0.75) : double.NaN,
            Strength = strengths.Length > 0 ? OutlierCheck.Middle(strengths) : double.NaN,
            Conductivity = intake.Length > 0 ? Math.Exp(intake.Average(Math.Log)) : double.NaN,
            Cover = cover.Length > 0 ? cover.Average() : double.NaN,
            Texture = textures.Length > 0 ? textures.GroupBy(t => t).OrderByDescending(g => g.Count()).ThenBy(g => g.Key).First().Key : null,
            Clay = Mean(Of(s => s.Clay)),
            Sand = Mean(Of(s => s.Sand)),
            OrganicMatter = Mean(Of(s => s.OrganicMatter)),
            RockDepth = Of(s => s.RockDepth) is { Length: > 0 } rock ? rock.Min() : double.NaN,
            ExchangeableSodium = Of(s => s.ExchangeableSodium) is { Length: > 0 } sodium ? sodium.Max() : double.NaN,
            Salinity = Of(s => s.Salinity) is { Length: > 0 } salt ? salt.Max() : double.NaN,
            EmersonClass = seen.Min(s => s.EmersonClass),
        };
    }

    private static double Mean(double[] values) => values.Length > 0 ? values.Average() : double.NaN;
}
