using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Report.Tests;

/// <summary>A plan put together by hand on a made surface of three valleys, with everything a map can show.</summary>
internal static class InventedPlan
{
    private const double West = 500_000;
    private const double North = 4_200_500;
    private const double ValleyPitch = 180;

    /// <summary>A plan on 600 by 500 cells of 1 m, or of the cell given.</summary>
    public static KeylinePlan Make(int rows = 500, int columns = 600, double cell = 1, double spacing = 3.048, string name = "Three Combes", double noise = 0)
    {
        GridFrame frame = new(rows, columns, cell, West, North - 500 + (rows * cell));
        float[] heights = new float[frame.CellCount];
        float[] position = new float[frame.CellCount];
        Random roughness = new(11);
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                double x = frame.CentreX(column);
                double y = frame.CentreY(row);
                heights[(row * columns) + column] = (float)(Height(x, y) + (noise > 0 ? noise * (roughness.NextDouble() - 0.5) : 0));
                position[(row * columns) + column] = (float)(0.5 - (0.5 * Math.Cos(2 * Math.PI * (x - West - 90) / ValleyPitch)));
            }
        }

        // A corner without heights.
        for (int row = 0; row < rows / 10; row++)
        {
            Array.Fill(heights, float.NaN, row * columns, columns / 8);
        }

        ElevationGrid ground = ElevationGrid.Copy(frame, heights);
        double w = frame.West;
        double s = frame.South;
        double width = columns * cell;
        double height = rows * cell;
        Coordinate At(double fx, double fy) => new(w + (fx * width), s + (fy * height));
        Polygon boundary = new(new LinearRing([At(0.08, 0.1), At(0.55, 0.07), At(0.93, 0.15), At(0.95, 0.7), At(0.8, 0.9), At(0.3, 0.92), At(0.1, 0.8), At(0.08, 0.1)]));
        AvoidedArea[] avoided =
        [
            new(new Point(At(0.62, 0.25)).Buffer(14), 8, "Dam"),
            new(new LineString([At(0.2, 0.15), At(0.24, 0.85)]), 5, "Tree belt"),
            new(new LineString([At(0.5, 0.55), At(0.9, 0.5)]), 3, "Pipe"),
        ];
        FieldArea field = new(boundary, avoided, name);
        LayoutOptions options = new() { Spacing = spacing };
        Geometry steep = new Point(At(0.7, 0.75)).Buffer(25).Union(new Point(At(0.74, 0.72)).Buffer(18));
        Geometry workable = avoided.Aggregate(boundary.Buffer(-6), (g, a) => g.Difference(a.KeptClear)).Difference(steep);
        return new KeylinePlan(field, options, new GroundReading(ground, ground, 3, Read(frame, position)), Lay(field, options, workable, steep));
    }

    private static double Height(double x, double y)
    {
        double u = x - West;
        double v = y - (North - 500);
        double fall = (0.045 * v) + (0.00006 * v * v);
        return 120 + fall - (1.3 * Math.Cos(2 * Math.PI * (u - 90) / ValleyPitch) * Math.Exp(-Math.Pow((v - 200) / 260, 2))) + (0.8 * Math.Sin(u / 37) * Math.Cos(v / 41));
    }

    private static LandformReading Read(GridFrame frame, float[] position)
    {
        List<ValleyLine> valleys = [];
        List<RidgeLine> ridges = [];
        List<Keypoint> keypoints = [];
        List<ContourKeyline> keylines = [];
        for (int i = 0; i < 3; i++)
        {
            double x = West + 90 + (i * ValleyPitch);
            valleys.Add(new ValleyLine(i + 1, Course(x, 380, 20), 1, 50_000, i != 2 ? ValleyKind.Primary : ValleyKind.Minor, 0, ValleyEnd.Edge, null));
            ridges.Add(new RidgeLine(i + 1, Course(x + (ValleyPitch / 2), 480, 30), i == 1));
            Coordinate place = new(x + Bend(260 - (i * 20)), North - 240 - (i * 20));
            keypoints.Add(new Keypoint
            {
                ValleyNumber = i + 1,
                Location = new Point(place),
                Class = i == 1 ? KeypointClass.Weak : KeypointClass.Clear,
                DistanceFromHead = 100,
                SlopeAbove = 9,
                SlopeBelow = 4,
                FStatistic = 40,
                Sag = 2,
                PlaceFrom = 92,
                PlaceTo = 107,
                ConcavityDistance = 101,
                InflectionDistance = 70,
            });
            keylines.Add(new ContourKeyline(i + 1, Wave(x - 55, x + 55, place.Y), 135));
        }

        return new LandformReading(valleys, ridges, keypoints, [], keylines, new Grid<float>(frame, position));
    }

    private static double Bend(double v) => 6 * Math.Sin(v / 50);

    private static LineString Course(double x, double from, double to) =>
        new([.. Enumerable.Range(0, 40).Select(k => from + (k * (to - from) / 39)).Select(v => new Coordinate(x + Bend(v), North - 500 + v))]);

    private static LineString Wave(double from, double to, double y) =>
        new([.. Enumerable.Range(0, 121).Select(k => from + (k * (to - from) / 120)).Select(x => new Coordinate(x, y + (18 * Math.Cos(2 * Math.PI * (x - West - 90) / ValleyPitch))))]);

    private static RipLayout Lay(FieldArea field, LayoutOptions options, Geometry workable, Geometry steep)
    {
        Envelope box = field.Boundary.EnvelopeInternal;
        List<RipLine> lines = [];
        List<GuideLine> guides = [];
        int count = (int)((box.Height + 40) / options.Spacing);
        for (int i = 0; i < count; i++)
        {
            double y = box.MinY - 20 + (i * options.Spacing);
            if (i % 25 == 12)
            {
                foreach (LineString part in Parts(Wave(box.MinX - 5, box.MaxX + 5, y).Intersection(field.Boundary)))
                {
                    guides.Add(new GuideLine("G" + (guides.Count + 1), part, 100 + i, false, false, "given"));
                }
            }

            foreach (LineString part in Parts(Wave(box.MinX - 5, box.MaxX + 5, y).Intersection(workable)).Where(p => p.Length > options.MinimumLength))
            {
                lines.Add(new RipLine
                {
                    Id = $"R{lines.Count + 1:000}",
                    GuideId = "G1",
                    Side = GuideSide.Upslope,
                    Offset = i * options.Spacing,
                    Line = part,
                    Sequence = lines.Count + 1,
                    Measures = new LineMeasures { Length = part.Length, MaximumGrade = 1.8, MeanGrade = 0.7, WithinGradeShare = 1, ToRidgeShare = 0.8, DriftingLength = part.Length / 2, MinimumRadius = 12 },
                });
            }
        }

        double total = lines.Sum(l => l.Line.Length);
        LayoutFigures figures = new()
        {
            LineCount = lines.Count,
            TotalLength = total,
            MeanLength = lines.Count == 0 ? 0 : total / lines.Count,
            WithinGradeShare = 0.978,
            MedianGrade = 0.6,
            Grade95 = 1.9,
            ToRidgeShare = 0.81,
            DriftingShare = 0.7,
            MedianSpacing = options.Spacing,
            SpacingWithinShare = 0.99,
            SpacingWithin10Share = 0.942,
            SpacingWithin25Share = 0.971,
            Coverage = 0.964,
            MinimumRadius = 8.3,
            TightShare = 0,
            Crossings = 0,
        };
        return new RipLayout(workable, steep, figures) { Guides = guides, Lines = lines, Findings = Find(lines) };
    }

    // One of every kind and several of one, on lines here and there.
    private static List<LayoutFinding> Find(List<RipLine> lines)
    {
        List<LayoutFinding> found = [];
        foreach (FindingKind kind in Enum.GetValues<FindingKind>())
        {
            for (int i = 0; i < (kind == FindingKind.BareStrip ? 15 : 1) && lines.Count > 0; i++)
            {
                RipLine line = lines[((7 * found.Count) + i) % lines.Count];
                Coordinate at = line.Line.GetCoordinateN(line.Line.NumPoints / 2);
                found.Add(new LayoutFinding(kind, line.Id, at.X, at.Y, "Found.") { Value = i == 14 ? double.PositiveInfinity : 3 + i, Limit = 2.5, Length = 20 + i });
            }
        }

        return found;
    }

    private static IEnumerable<LineString> Parts(Geometry shape) =>
        Enumerable.Range(0, shape.NumGeometries).Select(shape.GetGeometryN).OfType<LineString>().Where(l => !l.IsEmpty);
}
