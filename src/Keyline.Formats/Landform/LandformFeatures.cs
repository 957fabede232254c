using System.Text.Json;
using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>What is read from the landform as features, the same in every file that holds it.</summary>
internal static class LandformFeatures
{
    /// <summary>Valleys, ridges, keypoints and keylines.</summary>
    public static IEnumerable<JsonFeature> Of(LandformReading landform)
    {
        foreach (ValleyLine valley in landform.Valleys)
        {
            yield return JsonFeature.Named("valley-line", Id("valley", valley.Number), valley.Line, json =>
            {
                json.WriteNumber("valley", valley.Number);
                json.WriteBoolean("primary", valley.IsPrimary);
                json.WriteString("part", LandformKeys.Of(valley.Kind));
                json.WriteNumber("order", valley.Order);
                json.WriteNumber("joins", valley.Joins);
                json.WriteString("ends", LandformKeys.Of(valley.End));
                JsonText.Number(json, "catchment_m2", valley.CatchmentArea, 0);
                JsonText.Number(json, "length_m", valley.Length, 2);
                JsonText.Number(json, "fall_m", valley.Fall, 2);
                JsonText.Number(json, "profile_noise_m", valley.Profile?.Noise ?? double.NaN, 3);
            });
        }

        foreach (RidgeLine ridge in landform.Ridges)
        {
            yield return JsonFeature.Named("ridge-line", Id("ridge", ridge.Number), ridge.Line, json =>
            {
                json.WriteNumber("ridge", ridge.Number);
                json.WriteBoolean("main", ridge.IsMain);
                JsonText.Number(json, "length_m", ridge.Line.Length, 2);
            });
        }

        foreach (Keypoint keypoint in landform.Keypoints)
        {
            yield return JsonFeature.Named("keypoint", Id("keypoint", keypoint.ValleyNumber), keypoint.Location, json => WriteKeypoint(json, keypoint));
        }

        foreach (Keypoint lesser in landform.LesserBreaks)
        {
            string id = FormattableString.Invariant($"{Id("break", lesser.ValleyNumber)}-{lesser.Rank}");
            yield return JsonFeature.Named("lesser-break", id, lesser.Location, json => WriteKeypoint(json, lesser));
        }

        foreach (ContourKeyline keyline in landform.Keylines)
        {
            yield return JsonFeature.Named("keyline", Id("keyline", keyline.ValleyNumber), keyline.Line, json =>
            {
                json.WriteNumber("valley", keyline.ValleyNumber);
                JsonText.Number(json, "height_m", keyline.Height, 2);
                JsonText.Number(json, "length_m", keyline.Line.Length, 2);
            });
        }

        int number = 0;
        foreach (CommonKeyline common in landform.CommonKeylines)
        {
            yield return JsonFeature.Named("common-keyline", Id("common-keyline", ++number), common.Line, json =>
            {
                json.WriteStartArray("valleys");
                foreach (int valley in common.ValleyNumbers)
                {
                    json.WriteNumberValue(valley);
                }

                json.WriteEndArray();
                JsonText.Number(json, "height_m", common.Height, 2);
                JsonText.Number(json, "spread_m", common.Spread, 2);
                JsonText.Number(json, "length_m", common.Line.Length, 2);
            });
        }
    }

    /// <summary>The line to start from where there is no keypoint.</summary>
    public static JsonFeature GeneralGuide(LineString line) => JsonFeature.Named("general-guide", "general-guide", line, json =>
    {
        JsonText.Number(json, "height_m", line.Coordinate.Z, 2);
        JsonText.Number(json, "length_m", line.Length, 2);
    });

    private static void WriteKeypoint(Utf8JsonWriter json, Keypoint keypoint)
    {
        json.WriteNumber("valley", keypoint.ValleyNumber);
        json.WriteNumber("rank", keypoint.Rank);
        json.WriteString("class", keypoint.Class == KeypointClass.Clear ? "clear" : "weak");
        json.WriteBoolean("pinned", keypoint.IsPinned);
        JsonText.Number(json, "distance_from_head_m", keypoint.DistanceFromHead, 1);
        JsonText.Number(json, "place_from_m", keypoint.PlaceFrom, 1);
        JsonText.Number(json, "place_to_m", keypoint.PlaceTo, 1);
        JsonText.Number(json, "slope_above_pct", keypoint.SlopeAbove, 2);
        JsonText.Number(json, "slope_below_pct", keypoint.SlopeBelow, 2);
        JsonText.Number(json, "slope_ratio", keypoint.SlopeRatio, 2);
        JsonText.Number(json, "sag_m", keypoint.Sag, 2);
        JsonText.Number(json, "f_statistic", keypoint.FStatistic, 2);
        JsonText.Number(json, "position_tolerance_m", keypoint.PositionTolerance, 1);
        JsonText.Number(json, "concavity_distance_m", keypoint.ConcavityDistance, 1);
        JsonText.Number(json, "inflection_distance_m", keypoint.InflectionDistance, 1);
    }

    private static string Id(string kind, int number) => FormattableString.Invariant($"{kind}-{number}");
}

/// <summary>Words for kinds of landform, as they stand in files.</summary>
public static class LandformKeys
{
    /// <summary>The word for a valley's part.</summary>
    public static string Of(ValleyKind kind) => kind switch
    {
        ValleyKind.Main => "main",
        ValleyKind.Primary => "primary",
        ValleyKind.Minor => "minor",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "No word for this kind."),
    };

    /// <summary>The word for a valley's end.</summary>
    public static string Of(ValleyEnd end) => end switch
    {
        ValleyEnd.Confluence => "confluence",
        ValleyEnd.Edge => "edge",
        ValleyEnd.Hollow => "hollow",
        _ => throw new ArgumentOutOfRangeException(nameof(end), end, "No word for this end."),
    };

    /// <summary>The word for a shape of land.</summary>
    public static string Of(LandShapeKind kind) => kind switch
    {
        LandShapeKind.Valleys => "valleys",
        LandShapeKind.ValleysWithoutKeypoint => "valleys-without-keypoint",
        LandShapeKind.Plain => "plain",
        LandShapeKind.Slope => "slope",
        LandShapeKind.Dome => "dome",
        LandShapeKind.Fan => "fan",
        LandShapeKind.Hollow => "hollow",
        LandShapeKind.Rolling => "rolling",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "No word for this shape."),
    };
}
