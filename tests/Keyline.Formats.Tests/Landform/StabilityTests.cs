using Keyline.Elevation;
using Keyline.Formats.Tests.Support;
using Keyline.Landform;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Distance;

namespace Keyline.Formats.Tests.Landform;

/// <summary>What is read from real ground stays when the ground is coarser and noisier.</summary>
public sealed class StabilityTests
{
    // Made once for all: 12 seconds of reading.
    private static readonly Lazy<(double Length, double Kept, int Clear, int ClearKept)> OneMetre = new(() => Compare(["gabilan_gentled_1m", "slovenia_1m", "fortbragg_1m", "yukon_1m", "potholes_1m"]));
    private static readonly Lazy<(double Length, double Kept, int Clear, int ClearKept)> TwoMetres = new(() => Compare(["uk_farmland_2m", "ny_drumlins_2m"]));

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void CoarsenedTwiceAnd5CentimetresOfNoise_Keep90OfTheValleysAnd85OfTheClearKeypoints(bool fromTwoMetres)
    {
        (double length, double kept, int clear, int clearKept) = (fromTwoMetres ? TwoMetres : OneMetre).Value;
        Assert.True(length > 10_000 && clear >= 10, $"{length:0} m of valleys and {clear} clear keypoints are read at all.");
        Assert.True(kept >= 0.90 * length, $"{kept:0} of {length:0} m of valley lines are within 5 m.");
        Assert.True(clearKept >= 0.85 * clear, $"{clearKept} of {clear} clear keypoints are within 10 m.");
    }

    [Theory]
    [InlineData("gabilan_gentled_1m")]
    [InlineData("yukon_1m")]
    public void TurnedAndMirroredGround_GivesTurnedAndMirroredLines(string name)
    {
        ElevationGrid ground = Whole(ElevationReader.Read([TrialData.File(name + ".tif")], new ElevationReadOptions(), default).Grid);
        LandformReading reading = Read(ground);
        foreach (bool mirror in (bool[])[false, true])
        {
            LandformReading turned = Read(Turned(ground, mirror));
            LineString[] back = [.. turned.Valleys.Select(v => Back(v.Line, ground.Frame, mirror))];
            double length = reading.Valleys.Sum(v => v.Length), kept = reading.Valleys.Sum(v => Within(v.Line, back, 1.0));
            Assert.True(kept >= 0.97 * length, $"{kept:0} of {length:0} m of valley lines are within a metre.");
            Coordinate[] breaks = [.. turned.Keypoints.Concat(turned.LesserBreaks).Select(k => Back(k.Location.Coordinate, ground.Frame, mirror))];
            Assert.All(reading.Keypoints.Where(k => k.Class == KeypointClass.Clear), k => Assert.InRange(breaks.Min(b => b.Distance(k.Location.Coordinate)), 0, 5));
        }
    }

    private static (double Length, double Kept, int Clear, int ClearKept) Compare(string[] names)
    {
        double length = 0, kept = 0;
        int clear = 0, clearKept = 0;
        foreach (string name in names)
        {
            ElevationGrid ground = ElevationReader.Read([TrialData.File(name + ".tif")], new ElevationReadOptions(), default).Grid;
            LandformReading reading = Read(ground), again = Read(CoarsenedWithNoise(ground, 0.05));
            LineString[] lines = [.. again.Valleys.Select(v => v.Line)];
            length += reading.Valleys.Sum(v => v.Length);
            kept += reading.Valleys.Sum(v => Within(v.Line, lines, 5));
            foreach (Keypoint k in reading.Keypoints.Where(k => k.Class == KeypointClass.Clear))
            {
                clear++;
                clearKept += again.Keypoints.Concat(again.LesserBreaks).Any(a => a.Location.Distance(k.Location) <= 10) ? 1 : 0;
            }
        }

        return (length, kept, clear, clearKept);
    }

    private static LandformReading Read(ElevationGrid ground) => LandformReader.Read(GaussianSmoothing.ApplyTwice(ground, Math.Max(6, 1.2 * ground.Frame.CellSize)));

    private static ElevationGrid CoarsenedWithNoise(ElevationGrid ground, double deviation)
    {
        GridFrame f = ground.Frame;
        Random random = new(5);
        float[] z = Array.ConvertAll(ground.Heights.ToArray(), h => (float)(h + (deviation * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()))));
        GridFrame half = new(f.Rows / 2, f.Columns / 2, 2 * f.CellSize, f.West, f.North);
        float[] coarse = new float[half.Rows * half.Columns];
        for (int i = 0; i < coarse.Length; i++)
        {
            int at = (i / half.Columns * 2 * f.Columns) + (i % half.Columns * 2);
            coarse[i] = (z[at] + z[at + 1] + z[at + f.Columns] + z[at + f.Columns + 1]) / 4;
        }

        return ElevationGrid.Copy(half, coarse);
    }

    // Without the rows and columns beyond a multiple of twelve, so that turning moves no block of thinned cells.
    private static ElevationGrid Whole(ElevationGrid ground)
    {
        GridFrame f = ground.Frame;
        GridFrame frame = new(f.Rows / 12 * 12, f.Columns / 12 * 12, f.CellSize, f.West, f.North);
        float[] z = new float[frame.Rows * frame.Columns];
        for (int r = 0; r < frame.Rows; r++)
        {
            ground.Row(r)[..frame.Columns].CopyTo(z.AsSpan(r * frame.Columns));
        }

        return ElevationGrid.Copy(frame, z);
    }

    // A quarter turn clockwise about the north-west corner: row r goes to column Rows - 1 - r; mirrored, to column r.
    private static ElevationGrid Turned(ElevationGrid ground, bool mirror)
    {
        GridFrame f = ground.Frame, frame = new(f.Columns, f.Rows, f.CellSize, 0, 0);
        float[] z = new float[f.Rows * f.Columns];
        for (int r = 0; r < f.Rows; r++)
        {
            for (int c = 0; c < f.Columns; c++)
            {
                z[(c * f.Rows) + (mirror ? r : f.Rows - 1 - r)] = ground[r, c];
            }
        }

        return ElevationGrid.Copy(frame, z);
    }

    private static Coordinate Back(Coordinate p, GridFrame f, bool mirror)
    {
        double down = -p.Y, right = mirror ? p.X : (f.Rows * f.CellSize) - p.X;
        return new Coordinate(f.West + down, f.North - right);
    }

    private static LineString Back(LineString line, GridFrame f, bool mirror) => new([.. line.Coordinates.Select(p => Back(p, f, mirror))]);

    private static double Within(LineString line, LineString[] lines, double distance)
    {
        IndexedFacetDistance near = new(new MultiLineString(lines));
        Coordinate[] p = line.Coordinates;
        double kept = 0;
        for (int i = 1; i < p.Length; i++)
        {
            kept += near.Distance(new Point((p[i].X + p[i - 1].X) / 2, (p[i].Y + p[i - 1].Y) / 2)) <= distance ? p[i].Distance(p[i - 1]) : 0;
        }

        return kept;
    }
}
