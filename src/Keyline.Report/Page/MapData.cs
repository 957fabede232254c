using System.Globalization;
using System.Text.Json;
using Keyline.Check;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Terrain;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>What the page's map draws, as JSON that cannot end the element it stands in.</summary>
/// <remarks>
/// <para>Units: courses as <see cref="CoordinateCoding"/> has them, from <c>origin</c> (east, north, metres of the plan's system); grades in tenths of a
/// percent; other lengths metres.</para>
/// <para>Promises: every position is the plan's within <see cref="CoordinateCoding.MostError"/>, that of contours within <see cref="ContourThinning"/> more.</para>
/// </remarks>
internal sealed class MapData
{
    /// <summary>Metres by which contours are thinned: they are background.</summary>
    public const double ContourThinning = 0.4;

    // Codes of a stretch's drift: level, toward the ridge and toward the valley, each forward or back.
    private const int Level = 0;

    private readonly ReportContent _content;
    private readonly KeylinePlan _plan;
    private readonly CancellationToken _stop;

    public MapData(ReportContent content, CancellationToken cancellationToken)
    {
        _content = content;
        _plan = content.Plan;
        _stop = cancellationToken;
        Envelope field = _plan.Field.Boundary.EnvelopeInternal;
        Origin = new Coordinate(Math.Floor(field.MinX), Math.Floor(field.MinY));
        Window = field.Copy();
        Window.ExpandBy(Math.Max(60, 0.15 * Math.Max(field.Width, field.Height)));
    }

    /// <summary>Where coded courses start, metres of the plan's system.</summary>
    public Coordinate Origin { get; }

    /// <summary>The ground that is shown.</summary>
    public Envelope Window { get; }

    /// <summary>Writes it.</summary>
    public string Write()
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream))
        {
            json.WriteStartObject();
            json.WriteString("name", _plan.Field.Name);
            Numbers(json, "origin", 3, Origin.X, Origin.Y);
            json.WriteNumber("step", CoordinateCoding.Step);
            Envelope field = _plan.Field.Boundary.EnvelopeInternal;
            Numbers(json, "field", 2, field.MinX - Origin.X, field.MinY - Origin.Y, field.MaxX - Origin.X, field.MaxY - Origin.Y);
            Numbers(json, "limits", 4, _plan.Options.RowGrade?.Cap ?? _plan.Options.MaximumGrade, LineMeasures.LevelGrade, _plan.Options.Spacing);
            Place(json);
            Relief(json);
            Areas(json);
            Land(json);
            Lines(json);
            Findings(json);
            json.WriteEndObject();
        }

        return System.Text.Encoding.UTF8.GetString(stream.ToArray());
    }

    private void Place(Utf8JsonWriter json)
    {
        LonLatFit fit = new(Window, Origin, _content.ToLonLat);
        json.WriteStartObject("place");
        Numbers(json, "middle", 9, fit.MiddleLongitude, fit.MiddleLatitude);
        Numbers(json, "scale", 3, fit.Scale);
        Numbers(json, "east", 7, fit.East);
        Numbers(json, "north", 7, fit.North);
        Numbers(json, "lon", 9, fit.Longitude);
        Numbers(json, "lat", 9, fit.Latitude);
        json.WriteEndObject();
    }

    private void Relief(Utf8JsonWriter json)
    {
        (double interval, List<(ContourLine Contour, bool IsIndex)> contours) = ContourLayer.Trace(_plan, Window, _stop, _content.Units.Size(UnitKind.Length));
        json.WriteNumber("interval", interval);
        json.WriteStartArray("contours");
        Geometry window = _plan.Field.Boundary.Factory.ToGeometry(Window);
        foreach ((ContourLine contour, bool isIndex) in contours)
        {
            _stop.ThrowIfCancellationRequested();
            Geometry inside = Window.Contains(contour.Line.EnvelopeInternal) ? contour.Line : window.Intersection(contour.Line);
            for (int i = 0; i < inside.NumGeometries; i++)
            {
                if (inside.GetGeometryN(i) is LineString { NumPoints: > 1 } part)
                {
                    json.WriteStartArray();
                    json.WriteNumberValue(Math.Round(contour.Height, 3));
                    json.WriteNumberValue(isIndex ? 1 : 0);
                    json.WriteStringValue(CoordinateCoding.Course(part, Origin, ContourThinning));
                    json.WriteEndArray();
                }
            }
        }

        json.WriteEndArray();
    }

    private void Areas(Utf8JsonWriter json)
    {
        Courses(json, "boundary", _plan.Field.Boundary);
        Courses(json, "steep", _plan.Layout.Steep);
        Courses(json, "outlets", _plan.Field.Outlets);
        Courses(json, "headland", _plan.Options.Headland > 0 ? _plan.Field.Within(_plan.Options.Headland) : null);
        json.WriteStartArray("avoid");
        foreach (AvoidedArea avoided in _plan.Field.Avoided)
        {
            json.WriteStartObject();
            json.WriteString("name", avoided.Name);
            json.WriteNumber("setback", Math.Round(avoided.Setback, 2));
            json.WriteBoolean("wet", avoided.IsWet);
            Courses(json, "shape", avoided.Shape);
            Courses(json, "clear", avoided.KeptClear);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        if (_plan.Field.Gate is { } gate)
        {
            Numbers(json, "gate", 2, gate.X - Origin.X, gate.Y - Origin.Y);
        }
    }

    private void Land(Utf8JsonWriter json)
    {
        LandformReading land = _plan.Landform;
        Each(json, "valleys", land.Valleys.Where(v => Window.Intersects(v.Line.EnvelopeInternal)), v =>
        {
            json.WriteNumberValue(v.Number);
            json.WriteNumberValue(v.Kind == ValleyKind.Minor ? 0 : 1);
            json.WriteStringValue(CoordinateCoding.Course(v.Line, Origin));
        });
        Each(json, "ridges", land.Ridges.Where(r => Window.Intersects(r.Line.EnvelopeInternal)), r =>
        {
            json.WriteNumberValue(r.Number);
            json.WriteNumberValue(r.IsMain ? 1 : 0);
            json.WriteStringValue(CoordinateCoding.Course(r.Line, Origin));
        });
        Each(json, "keylines", land.Keylines, k =>
        {
            json.WriteNumberValue(k.ValleyNumber);
            json.WriteNumberValue(Math.Round(k.Height, 2));
            json.WriteStringValue(CoordinateCoding.Course(k.Line, Origin));
        });
        Each(json, "keypoints", land.Keypoints, k =>
        {
            json.WriteNumberValue(k.ValleyNumber);
            json.WriteNumberValue(k.Class == KeypointClass.Clear ? 1 : 0);
            json.WriteNumberValue(Math.Round(k.Location.X - Origin.X, 2));
            json.WriteNumberValue(Math.Round(k.Location.Y - Origin.Y, 2));
            json.WriteNumberValue(double.IsFinite(k.Location.Coordinate.Z) ? Math.Round(k.Location.Coordinate.Z, 2) : 0);
        });
        Each(json, "guides", _plan.Layout.Guides, g =>
        {
            json.WriteStringValue(g.Id);
            json.WriteNumberValue(g.IsKeyline ? 1 : 0);
            json.WriteStringValue(CoordinateCoding.Course(g.Line, Origin));
        });
    }

    private void Lines(Utf8JsonWriter json)
    {
        json.WriteStartArray("lines");
        for (int i = 0; i < _plan.Layout.Lines.Count; i++)
        {
            _stop.ThrowIfCancellationRequested();
            RipLine line = _plan.Layout.Lines[i];
            LineMeasures m = line.Measures;
            json.WriteStartObject();
            json.WriteString("id", line.Id);
            json.WriteString("p", CoordinateCoding.Course(line.Line, Origin));
            json.WriteString("g", CoordinateCoding.Steps([.. LineFalls.Of(line.Line, _plan.Ground).Select(g => double.IsFinite(g) ? (long)Math.Round(Math.Clamp(g, -99, 99) * 10) : 0)]));
            json.WriteString("d", CoordinateCoding.Numbers(LineDrift.Cut(line.Line, _plan.Ground, _plan.Landform.Position).SelectMany(s => (long[])[Code(s), s.Points.Count - 1])));
            Numbers(json, "m", 2, m.Length, m.MaximumGrade, m.MeanGrade, 100 * m.WithinGradeShare, 100 * m.ToRidgeShare, m.DriftingLength, m.MinimumRadius, m.SpacingLeft, m.SpacingRight, m.Clearance, m.SteepestSideSlope, m.LongestFall, 100 * (_content.Certainty?.LineAgreement.ElementAtOrDefault(i) ?? double.NaN));
            if (line.GuideId.Length > 0)
            {
                json.WriteString("guide", line.GuideId);
                json.WriteNumber("off", Math.Round(line.Offset * (line.Side == GuideSide.Upslope ? 1 : -1), 2));
            }

            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private void Findings(Utf8JsonWriter json) => Each(json, "findings", _plan.Layout.Findings, f =>
    {
        json.WriteNumberValue((int)FindingHarm.Of(f.Kind));
        json.WriteNumberValue(Math.Round(f.X - Origin.X, 1));
        json.WriteNumberValue(Math.Round(f.Y - Origin.Y, 1));
        json.WriteStringValue(f.LineId);
        json.WriteStringValue(f.Kind.ToString());
    });

    private static int Code(DriftStretch stretch) => stretch.Drift switch
    {
        Drift.ToRidge => stretch.FallsForward ? 1 : 2,
        Drift.ToValley => stretch.FallsForward ? 3 : 4,
        _ => Level,
    };

    private void Courses(Utf8JsonWriter json, string name, Geometry? shape)
    {
        json.WriteStartArray(name);
        foreach ((LineString course, bool closed) in shape is null ? [] : PaperFrame.Courses(shape))
        {
            json.WriteStartArray();
            json.WriteNumberValue(closed ? 1 : 0);
            json.WriteStringValue(CoordinateCoding.Course(course, Origin));
            json.WriteEndArray();
        }

        foreach (Point point in shape is null ? [] : Points(shape))
        {
            json.WriteStartArray();
            json.WriteNumberValue(2);
            json.WriteStringValue(CoordinateCoding.Numbers([(long)Math.Round((point.X - Origin.X) / CoordinateCoding.Step), (long)Math.Round((point.Y - Origin.Y) / CoordinateCoding.Step)]));
            json.WriteEndArray();
        }

        json.WriteEndArray();
    }

    private static IEnumerable<Point> Points(Geometry shape) => Enumerable.Range(0, shape.NumGeometries).Select(shape.GetGeometryN).OfType<Point>().Where(p => !p.IsEmpty);

    private static void Each<T>(Utf8JsonWriter json, string name, IEnumerable<T> all, Action<T> write)
    {
        json.WriteStartArray(name);
        foreach (T one in all)
        {
            json.WriteStartArray();
            write(one);
            json.WriteEndArray();
        }

        json.WriteEndArray();
    }

    private static void Numbers(Utf8JsonWriter json, string name, int decimals, params double[] values)
    {
        json.WriteStartArray(name);
        foreach (double value in values)
        {
            if (double.IsFinite(value))
            {
                json.WriteRawValue(Math.Round(value, decimals).ToString(CultureInfo.InvariantCulture).Replace("E", "e", StringComparison.Ordinal));
            }
            else
            {
                json.WriteNullValue();
            }
        }

        json.WriteEndArray();
    }
}
