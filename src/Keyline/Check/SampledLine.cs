using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>A line at even steps, with the heights of the ground under it.</summary>
internal sealed class SampledLine
{
    private const double SampleStep = 2.0;

    public SampledLine(LineString line, ElevationGrid ground)
    {
        Path = PathOf(line).Resample(SampleStep);
        Step = Path.SegmentCount > 0 ? Path.Length() / Path.SegmentCount : 0;
        Heights = [.. Path.Points.Select(p => ground.HeightAt(p.X, p.Y))];
        int most = Path.Closed ? Path.Count / 2 : Path.Count - 1;
        Width = Math.Max(1, Math.Min(most, (int)Math.Round(LineMeasures.GradeBase / Math.Max(Step, 1e-9))));
        Windows = Path.Closed ? Path.Count : Math.Max(0, Path.Count - Width);
    }

    public LinePath Path { get; }

    /// <summary>Metres from sample to sample.</summary>
    public double Step { get; }

    public double[] Heights { get; }

    /// <summary>Steps over which a grade is taken.</summary>
    public int Width { get; }

    /// <summary>How many grades there are: one from each sample that has another a base farther on.</summary>
    public int Windows { get; }

    /// <summary>A sample by its number, which on a closed line may run past the last.</summary>
    public XY At(int sample) => Path.Points[sample % Path.Count];

    public double HeightAt(int sample) => Heights[sample % Path.Count];

    /// <summary>Grade from a sample on, percent, above 0 where the line climbs in its direction; NaN over missing ground.</summary>
    public double Grade(int window) => (HeightAt(window + Width) - HeightAt(window)) / (Width * Step) * 100;

    /// <summary>A line's path; a closed line does not repeat its first point and has no ends.</summary>
    public static LinePath PathOf(LineString line)
    {
        Coordinate[] at = line.Coordinates;
        bool closed = at.Length > 3 && at[0].Equals2D(at[^1]);
        XY[] points = new XY[closed ? at.Length - 1 : at.Length];
        for (int i = 0; i < points.Length; i++)
        {
            points[i] = new XY(at[i].X, at[i].Y);
        }

        return new LinePath(points, closed);
    }
}
