using System.Text;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Plans;

/// <summary>What every reader refuses is not written: lines without points, without length, or with a coordinate that is no number.</summary>
public sealed class DegenerateShapeTests
{
    private static string Written(params (double X, double Y)[] points)
    {
        LineString line = new([.. points.Select(p => new Coordinate(p.X, p.Y))]);
        using MemoryStream stream = new();
        GroundCrs crs = GroundCrs.FromEpsg(32614);
        FeatureCollectionJson.Write(stream, [new JsonFeature("R7", line, _ => { })], null, crs, new PlanProvenance("1", [], []), 1, CancellationToken.None);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    [Fact]
    public void DegenerateLines_AreRefusedByName()
    {
        Assert.Equal("Line R7 has no points: it cannot be written; mend it, or leave it out.", Refusal());
        Assert.Equal("Line R7 has no length, since all its points are one and the same: it cannot be written; mend it, or leave it out.", Refusal((5e5, 3e6), (5e5, 3e6)));
        Assert.Equal("Line R7 has a coordinate that is no number: it cannot be written; mend it, or leave it out.", Refusal((5e5, 3e6), (double.NaN, 3e6)));
        Assert.Equal("Line R7 has a coordinate that is no number: it cannot be written; mend it, or leave it out.", Refusal((5e5, 3e6), (5e5, double.PositiveInfinity)));

        static string Refusal(params (double, double)[] points) => Assert.Throws<GroundDataException>(() => Written(points)).Message;
    }

    [Fact]
    public void AShortLine_IsWritten() => Assert.Contains("\"LineString\"", Written((5e5, 3e6), (5e5, 3e6 + 0.01)), StringComparison.Ordinal);
}
