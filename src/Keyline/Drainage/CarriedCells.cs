namespace Keyline.Drainage;

/// <summary>Counts the cells whose water comes by. Whole numbers add up exactly in any order.</summary>
internal readonly struct CarriedCells(double[] cells) : ICarried<double>
{
    public void Enter(int cell, double amount) => cells[cell] += amount;

    public double Leave(int cell, byte code) => cells[cell];
}
