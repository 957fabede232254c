using NetTopologySuite.Geometries;
using NetTopologySuite.Triangulate;
using NetTopologySuite.Triangulate.QuadEdge;

namespace Keyline.Elevation;

/// <summary>Flat triangles between neighbouring shots.</summary>
/// <remarks>
/// <para>Promises: goes through every shot and never above the highest or below the lowest of a triangle. The residual of a shot
/// left out is exact: the triangles that appear without it have only its neighbours for corners, so the triangulation of these
/// holds them.</para>
/// <para>Cost: n log n for n shots.</para>
/// <para>Source: B. Delaunay, Sur la sphere vide, 1934; triangulated by NetTopologySuite.</para>
/// </remarks>
internal sealed class TriangleFit : ShotFit
{
    private static readonly GeometryFactory Factory = new(new PrecisionModel(PrecisionModels.Floating));
    private readonly IReadOnlyList<SurveyShot> _shots;
    private readonly HashSet<int> _gone = [];
    private List<int[]> _triangles;

    public TriangleFit(IReadOnlyList<SurveyShot> shots, CancellationToken cancellationToken)
    {
        _shots = shots;
        _triangles = All(cancellationToken);
    }

    public override double[] LeaveOneOut(CancellationToken cancellationToken)
    {
        List<int[]>[] around = new List<int[]>[_shots.Count];
        foreach (int[] triangle in _triangles)
        {
            foreach (int corner in triangle)
            {
                (around[corner] ??= []).Add(triangle);
            }
        }

        double[] residuals = new double[_shots.Count];
        for (int i = 0; i < residuals.Length; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            residuals[i] = double.NaN;
            int[] neighbours = around[i] is null ? [] : [.. around[i].SelectMany(t => t).Where(c => c != i).Distinct().Order()];

            // A shot on the hull has one neighbour more than triangles.
            if (neighbours.Length >= 3 && neighbours.Length == around[i].Count)
            {
                SurveyShot shot = _shots[i];
                residuals[i] = shot.Height - HeightAt(Triangulate(neighbours, cancellationToken), shot.X, shot.Y);
            }
        }

        return residuals;
    }

    public override double[] ExpectedSizes() => [.. Enumerable.Repeat(1.0, _shots.Count)];

    public override void Remove(IReadOnlyList<int> shots, CancellationToken cancellationToken)
    {
        _gone.UnionWith(shots);
        _triangles = All(cancellationToken);
    }

    public override void Fill(GridFrame frame, float[] heights, (int First, int End)[] spans, CancellationToken cancellationToken)
    {
        foreach (int[] t in _triangles)
        {
            cancellationToken.ThrowIfCancellationRequested();
            SurveyShot a = _shots[t[0]], b = _shots[t[1]], c = _shots[t[2]];
            int top = (int)Math.Max(0, Math.Floor(frame.RowAt(Math.Max(a.Y, Math.Max(b.Y, c.Y)))));
            int bottom = (int)Math.Min(frame.Rows - 1, Math.Ceiling(frame.RowAt(Math.Min(a.Y, Math.Min(b.Y, c.Y)))));
            int left = (int)Math.Max(0, Math.Floor(frame.ColumnAt(Math.Min(a.X, Math.Min(b.X, c.X)))));
            int right = (int)Math.Min(frame.Columns - 1, Math.Ceiling(frame.ColumnAt(Math.Max(a.X, Math.Max(b.X, c.X)))));
            for (int row = top; row <= bottom; row++)
            {
                for (int column = Math.Max(left, spans[row].First); column <= right && column < spans[row].End; column++)
                {
                    double z = Height(a, b, c, frame.CentreX(column), frame.CentreY(row));
                    if (!double.IsNaN(z))
                    {
                        heights[(row * frame.Columns) + column] = (float)z;
                    }
                }
            }
        }
    }

    private double HeightAt(List<int[]> triangles, double x, double y)
    {
        foreach (int[] t in triangles)
        {
            double z = Height(_shots[t[0]], _shots[t[1]], _shots[t[2]], x, y);
            if (!double.IsNaN(z))
            {
                return z;
            }
        }

        return double.NaN;
    }

    // By the shares of the three corners; NaN outside.
    private static double Height(SurveyShot a, SurveyShot b, SurveyShot c, double x, double y)
    {
        const double slack = -1e-9;
        double area = ((b.X - a.X) * (c.Y - a.Y)) - ((c.X - a.X) * (b.Y - a.Y));
        double second = (((x - a.X) * (c.Y - a.Y)) - ((c.X - a.X) * (y - a.Y))) / area;
        double third = (((b.X - a.X) * (y - a.Y)) - ((x - a.X) * (b.Y - a.Y))) / area;
        double first = 1 - second - third;
        return first >= slack && second >= slack && third >= slack ? (first * a.Height) + (second * b.Height) + (third * c.Height) : double.NaN;
    }

    private List<int[]> All(CancellationToken cancellationToken) =>
        Triangulate([.. Enumerable.Range(0, _shots.Count).Where(i => !_gone.Contains(i))], cancellationToken);

    private List<int[]> Triangulate(int[] shots, CancellationToken cancellationToken)
    {
        // Counted from the first shot: differences of large coordinates keep more digits.
        (double x0, double y0) = (_shots[shots[0]].X, _shots[shots[0]].Y);
        Dictionary<(double, double), int> numbers = [];
        List<Coordinate> sites = [];
        foreach (int i in shots)
        {
            Coordinate site = new(_shots[i].X - x0, _shots[i].Y - y0);
            numbers[(site.X, site.Y)] = i;
            sites.Add(site);
        }

        // As DelaunayTriangulationBuilder has it, but one site at a time.
        CoordinateList unique = DelaunayTriangulationBuilder.Unique([.. sites]);
        QuadEdgeSubdivision subdivision = new(DelaunayTriangulationBuilder.Envelope(unique), 0);
        IncrementalDelaunayTriangulator triangulator = new(subdivision);
        foreach (Vertex vertex in DelaunayTriangulationBuilder.ToVertices(unique))
        {
            cancellationToken.ThrowIfCancellationRequested();
            triangulator.InsertSite(vertex);
        }

        List<int[]> triangles = [];
        foreach (Geometry triangle in subdivision.GetTriangles(Factory).Geometries)
        {
            Coordinate[] ring = triangle.Coordinates;
            triangles.Add([numbers[(ring[0].X, ring[0].Y)], numbers[(ring[1].X, ring[1].Y)], numbers[(ring[2].X, ring[2].Y)]]);
        }

        return triangles;
    }
}
