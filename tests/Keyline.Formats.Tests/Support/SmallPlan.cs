using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Support;

/// <summary>A plan made by hand on a tilted plane, small enough to check number by number.</summary>
internal static class SmallPlan
{
    public const double West = 500_000;
    public const double North = 4_000_200;

    /// <summary>Height of the plane: it falls 2 % to the east and 5 % to the south.</summary>
    public static double Height(double x, double y) => 120 - (0.02 * (x - West)) - (0.05 * (North - y));

    /// <summary>The plan, its corner moved to another place of the grid.</summary>
    public static KeylinePlan Make(double west = West, double north = North, string fieldName = "Home \"paddock\", é", int lines = 3, LayoutFigures? figures = null)
    {
        GridFrame frame = new(200, 300, 1, west, north);
        float[] heights = new float[frame.CellCount];
        for (int r = 0; r < frame.Rows; r++)
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                heights[(r * frame.Columns) + c] = (float)(120 - (0.02 * (c + 0.5)) - (0.05 * (r + 0.5)));
            }
        }

        ElevationGrid ground = ElevationGrid.Copy(frame, heights);

        // The outer ring runs clockwise and the hole counter-clockwise, as RFC 7946 does not want them.
        Polygon field = new(Ring((20, 20), (20, 180), (280, 180), (280, 20)), [Ring((200, 100), (220, 100), (220, 120), (200, 120))]);
        FieldArea area = new(field,
            [
                new AvoidedArea(new Point(At(60, 60)), 6, "tree"),
                new AvoidedArea(new LineString([At(30, 150), At(270, 150)]), 8, "buried pipe"),
                new AvoidedArea(new Polygon(Ring((100, 40), (120, 40), (120, 60), (100, 60))), 5, "pond"),
            ],
            fieldName);
        LandformReading landform = new(
            [new ValleyLine(1, new LineString([At(150, 190), At(150, 100), At(150, 10)]), 2, 5400, ValleyKind.Primary, 0, ValleyEnd.Edge, null)],
            [new RidgeLine(1, new LineString([At(50, 190), At(50, 10)]), false)],
            [
                new Keypoint
                {
                    ValleyNumber = 1, Location = new Point(At(150, 100)), Class = KeypointClass.Weak, DistanceFromHead = 90, SlopeAbove = 8, SlopeBelow = 4, FStatistic = 12.5, Sag = 1.8,
                    PlaceFrom = 75, PlaceTo = 100, ConcavityDistance = 88, InflectionDistance = double.NaN,
                },
            ],
            [],
            [new ContourKeyline(1, new LineString([At(100, 110), At(150, 100), At(200, 90)]), 112)],
            Keyline.Elevation.Grid.Copy<float>(frame, heights));
        GuideLine guide = new("G1", Line(30, 100, 190), 112.5, false, false, "the longest line");
        RipLine[] rips = [.. Enumerable.Range(0, lines).Select(i => new RipLine
        {
            Id = FormattableString.Invariant($"R{i + 1:000}"), GuideId = "G1", Side = i == 1 ? GuideSide.Downslope : GuideSide.Upslope, Offset = 3 * i, Line = Line(30, 100 + (3 * i), 190), Sequence = i + 1,
            Measures = new LineMeasures
            {
                Length = 160.2, MaximumGrade = 1.9, MeanGrade = 0.8, WithinGradeShare = 1, ToRidgeShare = i == 2 ? double.NaN : 0.9, DriftingLength = i == 2 ? 0 : 120, MinimumRadius = i == 0 ? double.PositiveInfinity : 40,
            },
        })];
        RipLayout layout = new(field, new Polygon(Ring((240, 30), (260, 30), (260, 40), (240, 40))), figures ?? Figures)
        {
            Guides = [guide],
            GuideLevels = 1,
            Lines = rips,
            Findings = [new LayoutFinding(FindingKind.TurnTooTight, "R002", At(100, 103).X, At(100, 103).Y, "R002 turns on 7 m.") { Value = 7, Limit = 8, Length = 12.5 }],
            Notes = ["2 pieces shorter than 30 m were left out."],
        };
        return new KeylinePlan(area, new LayoutOptions { Spacing = 3 }, new GroundReading(ground, ground, 2.5, landform), layout);

        CoordinateZ At(double x, double y)
        {
            double gx = west + x, gy = north - 200 + y;
            return new CoordinateZ(gx, gy, 120 - (0.02 * x) - (0.05 * (200 - y)));
        }

        LinearRing Ring(params (double X, double Y)[] corners) => new([.. corners.Append(corners[0]).Select(c => new Coordinate(west + c.X, north - 200 + c.Y))]);

        LineString Line(double from, double y, double to) =>
            new([.. Enumerable.Range(0, (int)(to - from) + 1).Select(i => At(from + i, y + (2 * Math.Sin(i / 30.0))))]);
    }

    public static LayoutFigures Figures { get; } = new()
    {
        LineCount = 3, TotalLength = 480.6, MeanLength = 160.2, WithinGradeShare = 0.97, MedianGrade = 0.7, Grade95 = 1.8, ToRidgeShare = 0.9, DriftingShare = 0.5,
        MedianSpacing = 3.001, SpacingWithinShare = 0.99, SpacingWithin10Share = 0.94, SpacingWithin25Share = 0.98, InnerEnds = 2, Coverage = 0.95, MinimumRadius = 7, TightShare = 0.01, Crossings = 0,
    };

    public static PlanProvenance Provenance { get; } = new("1.2.3",
        [new PlanInput("dem", "hill.tif", new string('a', 64)), new PlanInput("field", "field.geojson", new string('b', 64))],
        ["Heights were turned from feet into metres."], ["Half of the field lies outside the survey."]);
}
