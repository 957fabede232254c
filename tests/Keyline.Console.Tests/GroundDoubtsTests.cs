using Keyline.Console.Cli;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Tests;

public sealed class GroundDoubtsTests
{
    private static readonly GridFrame Frame = new(600, 600, 10, 500_000, 4_206_000);

    [Fact]
    public void PiecesFarApart_AreLookedAtApart()
    {
        IReadOnlyList<Envelope> places = GroundDoubts.Places(Frame, Pieces((500_400, 4_200_400), (505_400, 4_205_400)));
        Assert.Equal(2, places.Count);

        // 200 m and 300 m of surroundings on either side.
        Assert.All(places, p => Assert.Equal((800, 800), (p.Width, p.Height)));
        Assert.Equal(new Envelope(500_100, 500_900, 4_200_100, 4_200_900), places[0]);
    }

    [Fact]
    public void PiecesBesideEachOther_AreLookedAtWithAllTheGround()
    {
        Assert.Equal([Frame.Extent], GroundDoubts.Places(Frame, Pieces((500_400, 4_200_400), (500_900, 4_200_400))));
        Assert.Equal([Frame.Extent], GroundDoubts.Places(Frame, Pieces((500_400, 4_200_400))));

        // Apart, but with their surroundings most of the ground.
        GridFrame small = new(200, 120, 10, 500_000, 4_202_000);
        Assert.Equal([small.Extent], GroundDoubts.Places(small, Pieces((500_400, 4_200_300), (500_400, 4_201_500))));
    }

    [Fact]
    public void OfWhatIsDoubted_TheWorstIsSaidOnce()
    {
        // Heights in steps of half a metre under the second piece, to the millimetre under the first, and nothing to be seen in between.
        float[] heights = new float[Frame.CellCount];
        for (int r = 0; r < Frame.Rows; r++)
        {
            for (int c = 0; c < Frame.Columns; c++)
            {
                double z = 50 + (0.25 * c) + (0.155 * r);
                heights[(r * Frame.Columns) + c] = (float)(c > 300 ? Math.Round(2 * z) / 2 : Math.Round(1000 * z) / 1000);
            }
        }

        using MemoryStream file = new();
        GeoTiffWriter.Write(file, ElevationGrid.Copy(Frame, heights), GroundCrs.FromEpsg(32610));
        ElevationSource ground = ElevationReader.Read(file, "made", cancellationToken: TestContext.Current.CancellationToken);
        LayoutOptions layout = new() { Spacing = 3 };
        MultiPolygon boundary = Pieces((500_400, 4_200_400), (505_400, 4_205_400));
        string said = Assert.Single(GroundDoubts.Told(ground, new FieldArea(boundary), layout, TestContext.Current.CancellationToken).Notes, n => n.Contains("steps of", StringComparison.Ordinal));
        Assert.Contains("0.5 m", said, StringComparison.Ordinal);
        Assert.DoesNotContain(GroundDoubts.Told(ground, new FieldArea(boundary.GetGeometryN(0)), layout, TestContext.Current.CancellationToken).Notes, n => n.Contains("steps of", StringComparison.Ordinal));
    }

    private static MultiPolygon Pieces(params (double X, double Y)[] corners)
    {
        GeometryFactory factory = new();
        return factory.CreateMultiPolygon([.. corners.Select(c => (Polygon)factory.ToGeometry(new Envelope(c.X, c.X + 200, c.Y, c.Y + 200)))]);
    }
}
