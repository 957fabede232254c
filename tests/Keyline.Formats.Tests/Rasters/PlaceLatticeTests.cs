using Keyline.Elevation;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>Places in between against the plain twin that works out every one.</summary>
public sealed class PlaceLatticeTests
{
    // A thousandth of a cell is promised; a wide, coarse grid far from the central meridian bends the most.
    [Theory]
    [InlineData(32610, 600_000, 4_000_000, 2.0, 1e-5)]
    [InlineData(32610, 200_000, 7_800_000, 30.0, 0.0003)]
    [InlineData(32610, 166_000, 8_800_000, 1000.0, 0.01)]
    [InlineData(27700, 150_000, 900_000, 50.0, 0.0005)]
    [InlineData(3310, -300_000, 300_000, 500.0, 0.005)]
    public void Band_OfDegrees_IsWithinAThousandthOfACellOfEveryPlaceWorkedOut(int epsg, double west, double north, double cell, double degrees)
    {
        GroundCrs crs = GroundCrs.FromEpsg(epsg);
        GridFrame frame = new(83, 101, cell, west, north);
        (double X, double Y) Exact(double x, double y)
        {
            (double lon, double lat) = crs.ToLonLat(x, y);
            return ((lon + 130) / degrees, (85 - lat) / degrees);
        }

        int asked = 0;
        PlaceLattice lattice = new(frame, (x, y) =>
        {
            asked++;
            return Exact(x, y);
        });
        double worst = 0;
        for (int band = 0; band < lattice.BlocksDown; band++)
        {
            (double X, double Y)[] places = lattice.Band(band);
            for (int i = 0; i < places.Length; i++)
            {
                (double X, double Y) exact = Exact(frame.CentreX(i % 101), frame.CentreY((band * PlaceLattice.Side) + (i / 101)));
                worst = Math.Max(worst, Math.Max(Math.Abs(places[i].X - exact.X), Math.Abs(places[i].Y - exact.Y)));
            }
        }

        Assert.InRange(worst, 0, 0.00101);
        Assert.InRange(asked, 1, 2 * frame.CellCount);
        Assert.True(cell > 2 || asked < frame.CellCount / 20, $"{asked} places worked out of {frame.CellCount}");
    }
}
