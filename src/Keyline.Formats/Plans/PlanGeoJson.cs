using System.Text.Json;
using Keyline.Check;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes a plan as GeoJSON.</summary>
/// <remarks>
/// <para>Units: WGS 84 longitude and latitude in degrees to 9 decimals (0.1 mm), heights in metres to 2 decimals as third
/// coordinate; lengths, grades and shares as the names of the properties say.</para>
/// <para>Missing: a shape over missing ground is written without heights; a number that is not there is null.</para>
/// <para>Promises: RFC 7946: outer rings counter-clockwise, no <c>crs</c> member, a bounding box, shapes cut at the 180th
/// meridian. Ids do not change while the inputs do not. The same plan gives the same bytes. The fields are described in
/// docs/formats.md, which is a contract.</para>
/// <para>Source: RFC 7946 (2016).</para>
/// </remarks>
public static class PlanGeoJson
{
    /// <summary>Number of the layout of the file's fields; it rises when a field changes its meaning or goes.</summary>
    public const int FormatVersion = 1;

    /// <summary>Writes a plan.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="crs">The projected system its metres are in.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place of the plan has no longitude and latitude.</exception>
    public static void Write(Stream stream, KeylinePlan plan, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(crs);
        ArgumentNullException.ThrowIfNull(provenance);
        FeatureCollectionJson.Write(
            stream,
            Features(plan),
            new PlanPlaces(crs, plan.Ground),
            json =>
            {
                json.WriteNumber("format", FormatVersion);
                PlanMembers.WriteOrigin(json, plan.Options, crs, provenance);
                json.WriteString("caution", Cautions.InShort);
            },
            cancellationToken,
            GeoJsonShapes.DrivenDecimals);
    }

    private static IEnumerable<JsonFeature> Features(KeylinePlan plan)
    {
        yield return JsonFeature.Named("boundary", "field", plan.Field.Boundary, json =>
        {
            json.WriteString("name", plan.Field.Name);
            JsonText.Number(json, "area_m2", plan.Field.Boundary.Area, 1);
        });
        int number = 0;
        foreach (AvoidedArea avoided in plan.Field.Avoided)
        {
            yield return JsonFeature.Named("avoid", Id("avoid", ++number), avoided.Shape, json =>
            {
                json.WriteString("name", avoided.Name);
                JsonText.Number(json, "setback_m", avoided.Setback, 3);
                json.WriteBoolean("wet", avoided.IsWet);
                if (avoided.Kind.Length > 0)
                {
                    json.WriteString("what", avoided.Kind);
                }

                if (avoided.HandDig > 0)
                {
                    JsonText.Number(json, "hand_dig_m", avoided.HandDig, 3);
                }
            });
        }

        if (!plan.Layout.Steep.IsEmpty)
        {
            yield return JsonFeature.Named("steep-land", "steep", plan.Layout.Steep, json => JsonText.Number(json, "area_m2", plan.Layout.Steep.Area, 1));
        }

        if (plan.Field.Outlets is { IsEmpty: false } outlets)
        {
            yield return JsonFeature.Named("outlet", "outlets", outlets, _ => { });
        }

        if (plan.Field.Gate is { } gate)
        {
            yield return JsonFeature.Named("gate", "gate", plan.Field.Boundary.Factory.CreatePoint(gate), _ => { });
        }

        foreach (JsonFeature feature in LandformFeatures.Of(plan.Landform))
        {
            yield return feature;
        }

        foreach (GuideLine guide in plan.Layout.Guides)
        {
            yield return JsonFeature.Named("guide-line", guide.Id, guide.Line, json =>
            {
                JsonText.Number(json, "level_m", guide.Level, 2);
                JsonText.Number(json, "length_m", guide.Line.Length, 2);
                json.WriteBoolean("pinned", guide.IsPinned);
                json.WriteBoolean("keyline", guide.IsKeyline);
                json.WriteString("reason", guide.Reason);
            });
        }

        foreach (RipLine line in plan.Layout.Lines)
        {
            yield return JsonFeature.Named("rip-line", line.Id, line.Line, json => WriteRipLine(json, line));
        }
    }

    private static void WriteRipLine(Utf8JsonWriter json, RipLine line)
    {
        json.WriteNumber("sequence", line.Sequence);
        json.WriteString("guide", line.GuideId);
        json.WriteString("side", line.Side == GuideSide.Upslope ? "upslope" : "downslope");
        JsonText.Number(json, "offset_m", line.Offset, 3);
        LineMeasures m = line.Measures;
        JsonText.Number(json, "length_m", m.Length, 2);
        JsonText.Number(json, "grade_max_pct", m.MaximumGrade, 2);
        JsonText.Number(json, "grade_mean_pct", m.MeanGrade, 2);
        JsonText.Number(json, "within_grade_share", m.WithinGradeShare, 4);
        JsonText.Number(json, "to_ridge_share", m.ToRidgeShare, 4);
        JsonText.Number(json, "drifting_m", m.DriftingLength, 2);
        JsonText.Number(json, "radius_min_m", m.MinimumRadius, 2);
        JsonText.Number(json, "spacing_left_m", m.SpacingLeft, 3);
        JsonText.Number(json, "spacing_right_m", m.SpacingRight, 3);
        JsonText.Number(json, "clearance_m", m.Clearance, 2);
        JsonText.Number(json, "side_slope_deg", m.SteepestSideSlope, 2);
        JsonText.Number(json, "longest_fall_m", m.LongestFall, 1);
    }

    private static string Id(string kind, int number) => FormattableString.Invariant($"{kind}-{number}");
}
