using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report.Tests;

public sealed class ReliefLayerTests
{
    [Theory]
    [InlineData(500, 600, 1)]
    [InlineData(300, 3072, 1)]
    [InlineData(300, 3073, 2)]
    [InlineData(100, 9301, 4)]
    public void Paint_HasADotForEachBlockOfCells_NoMoreThanASheetShows(int rows, int columns, int block)
    {
        KeylinePlan plan = InventedPlan.Make(rows, columns);
        (SKBitmap bitmap, Envelope covers) = ReliefLayer.Paint(plan, plan.Ground.Frame.Extent, TestContext.Current.CancellationToken)!.Value;
        using (bitmap)
        {
            Assert.InRange(bitmap.Width, 1, ReliefLayer.MostDots);
            Assert.Equal((columns / block, rows / block), (bitmap.Width, bitmap.Height));
            Assert.Equal((bitmap.Width * block, bitmap.Height * block), ((int)covers.Width, (int)covers.Height));
            Assert.Equal((plan.Ground.Frame.Extent.MinX, plan.Ground.Frame.Extent.MaxY), (covers.MinX, covers.MaxY));

            // The corner without heights, and only that, is blank.
            Assert.Equal(0, bitmap.GetPixel(0, 0).Alpha);
            Assert.Equal(0, bitmap.GetPixel((columns / 8 / block) - 1, (rows / 10 / block) - 1).Alpha);
            Assert.Equal(255, bitmap.GetPixel((columns / 8 / block) + 1, 0).Alpha);
            Assert.Equal(255, bitmap.GetPixel(0, (rows / 10 / block) + 1).Alpha);
            Assert.Equal(255, bitmap.GetPixel(bitmap.Width - 1, bitmap.Height - 1).Alpha);
        }
    }

    [Fact]
    public void Paint_InBlocks_ReachesOverThePartAskedFor_AndShadesLikeTheCells()
    {
        KeylinePlan plan = InventedPlan.Make(400, 7000);
        Envelope whole = plan.Ground.Frame.Extent, part = new(whole.MinX + 1000, whole.MinX + 6000, whole.MinY + 100, whole.MinY + 301), few = new(whole.MinX + 3000, whole.MinX + 4000, whole.MinY + 100, whole.MinY + 301);
        (SKBitmap coarse, Envelope covers) = ReliefLayer.Paint(plan, part, TestContext.Current.CancellationToken)!.Value;
        (SKBitmap fine, Envelope seen) = ReliefLayer.Paint(plan, few, TestContext.Current.CancellationToken)!.Value;
        using (coarse)
        using (fine)
        {
            Assert.True(covers.Contains(part));
            Assert.InRange(covers.Width, part.Width, part.Width + 12);
            double Light(SKBitmap of, Envelope box, double x, double y)
            {
                SKColor c = of.GetPixel((int)((x - box.MinX) / (box.Width / of.Width)), (int)((box.MaxY - y) / (box.Height / of.Height)));
                return c.Red + c.Green + (double)c.Blue;
            }

            double[] off = [.. Enumerable.Range(0, 400).Select(i => (X: few.MinX + 20 + (2.4 * i), Y: few.MinY + 20 + (i % 150))).Select(p => Light(coarse, covers, p.X, p.Y) - Light(fine, seen, p.X, p.Y))];
            Assert.InRange(off.Average(Math.Abs), 0, 20);
        }
    }
}
